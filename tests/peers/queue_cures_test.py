#!/usr/bin/python3
"""What a person has done to a queue with the client, the spooler's own tools see done, and the audit trail tells.

Also what is done unasked: only what the configuration names, and only so often.
"""
import json
import sys
import time

import ipp_peers
import harness  # found by way of ipp_peers


def config(folder, spooler, extra=""):
    program = folder / "start-again"
    program.write_text("#!/bin/sh\nexit 1\n")
    program.chmod(0o755)
    return harness.basic_config(folder, [], ipp_peers.office(spooler, f"""
restart_program = "{folder}/start-again"

[[queue]]
name = "fern"
uri = "{spooler.queue_uri('fern')}"

[[queue]]
name = "moss"
uri = "{spooler.queue_uri('moss')}"
{extra}"""))


class Desk:
    def __init__(self, folder, daemon, spooler):
        self.folder, self.daemon, self.spooler = folder, daemon, spooler
        self.server = f"unix:{folder}/frisket.sock"

    def do(self, *arguments, status=0):
        done = harness.client(*arguments, "--json", "--server", self.server)
        assert done.returncode == status, (arguments, done.returncode, done.stdout, done.stderr)
        return json.loads(done.stdout) if done.stdout else done.stderr

    def jobs(self, queue="fern"):
        """By the spooler's own client."""
        return sorted(int(line.split()[0].rsplit("-", 1)[1])
                      for line in self.spooler.command("lpstat", "-o", queue).splitlines())

    def kinds(self):
        return sorted((i["kind"], i["queue"]) for i in self.daemon.items("/v1/incidents?state=raised"))

    def audit(self):
        return self.daemon.get("/v1/audit")[1]["items"]


def bad_job(desk):
    """A job that hangs for ever, with others behind it: cancelled, the others flow, the incident ends, the record tells."""
    gate = desk.spooler.folder / "gate"
    gate.write_text("")
    desk.spooler.add("fern", desk.spooler.orders("fern", f"wait {gate}\n"))
    desk.spooler.add("moss", "file:///dev/null")
    bad = desk.spooler.print("fern")
    harness.wait_for(lambda: desk.kinds() == [("job-stuck", "fern")])
    (desk.spooler.folder / "fern.orders").write_text("exit 0\n")  # it is that job, not the device
    behind = [desk.spooler.print("fern") for _ in range(2)]

    would = desk.do("queue", "fern", "cancel", "--head", "--dry-run")
    assert [job["id"] for job in would["jobs"]] == [bad] and would["dry_run"], would
    assert desk.jobs() == [bad] + behind, "a dry run did something"

    done = desk.do("queue", "fern", "cancel", "--head", "--yes", "--by", "Ivy", "--note", "page 3 of a broken drawing")
    assert [job["id"] for job in done["jobs"]] == [bad] and done["jobs"][0]["done"], done
    assert "no job is left" in done["afterwards"].lower() or "is being processed" in done["afterwards"], done
    harness.wait_for(lambda: desk.jobs() == [])
    assert harness.settled(desk.kinds, [], 10) == [], desk.kinds()
    record = next(r for r in desk.audit() if r["what"] == "queue.cancel" and not r["detail"]["dry_run"])
    assert record["target"] == "fern" and record["outcome"] == "done", record
    assert record["who"].startswith("unix:") and record["at"].endswith("Z"), record
    assert record["detail"]["done"] == [bad] and record["detail"]["by"] == "Ivy", record
    assert not any("lp" == r["detail"].get("owner") for r in desk.audit() if r.get("detail")), desk.audit()
    gate.unlink()


def pause_move_resume(desk):
    said = desk.do("queue", "fern", "pause", "--yes")
    assert "The queue stands, as asked" in said["afterwards"], said
    assert "disabled" in desk.spooler.command("lpstat", "-p", "fern")
    waiting = [desk.spooler.print("fern") for _ in range(3)]
    assert harness.settled(desk.kinds, [("paused", "fern")], 10) == [("paused", "fern")], desk.kinds()
    moved = desk.do("queue", "fern", "move", "--to", "moss", "--yes")
    assert [job["id"] for job in moved["jobs"]] == waiting and all(job["done"] for job in moved["jobs"]), moved
    harness.wait_for(lambda: desk.jobs("moss") == [] and desk.jobs() == [])
    more = [desk.spooler.print("fern") for _ in range(2)]
    gone = desk.do("queue", "fern", "cancel", "--waiting", "--yes")
    assert [job["id"] for job in gone["jobs"]] == more, gone
    assert desk.jobs() == []
    desk.do("queue", "fern", "resume", "--yes")
    assert "idle" in desk.spooler.command("lpstat", "-p", "fern")
    assert harness.settled(desk.kinds, [], 10) == [], desk.kinds()
    nothing = desk.do("queue", "fern", "cancel", "--waiting", "--yes")
    assert nothing["jobs"] == [] and "No job waits" in nothing["said"], nothing
    assert "no job at its head" in desk.do("queue", "fern", "cancel", "--head", "--yes", status=2)


def restart(desk):
    """By the configured program; what it does is the spooler being started again."""
    program = desk.folder / "start-again"
    program.write_text(f"#!/bin/sh\ntouch {desk.folder}/asked\nwhile [ -e {desk.folder}/asked ]; do sleep 0.05; done\n")
    program.chmod(0o755)
    would = desk.do("queue", "fern", "restart", "--dry-run")
    assert "would be started again" in would["said"] and not (desk.folder / "asked").exists(), would
    import threading

    def obey():
        harness.wait_for((desk.folder / "asked").exists)
        desk.spooler.stop()
        desk.spooler.start()
        (desk.folder / "asked").unlink()

    obeying = threading.Thread(target=obey)
    obeying.start()
    done = desk.do("queue", "fern", "restart", "--yes")
    obeying.join()
    assert "It answers, with 2 queues" in done["afterwards"], done
    program.write_text("#!/bin/sh\necho no rights '<b>'\nexit 3\n")
    failed = desk.do("queue", "fern", "restart", "--yes", status=3)
    assert "exit status 3: no rights <b>" in failed, failed
    assert any(r["what"] == "queue.restart" and r["outcome"] == "failed" for r in desk.audit()), desk.audit()


def personal(desk):
    """Names and owners of jobs: to whoever came by the socket, not to whoever merely is on this machine."""
    desk.do("queue", "fern", "pause", "--yes")
    desk.spooler.print("fern", "-t", "salaries")
    harness.wait_for(lambda: desk.daemon.get("/v1/queues/fern/jobs")[1]["items"])
    by_tcp = desk.daemon.get("/v1/queues/fern/jobs")[1]
    assert by_tcp["items"][0]["name"] is None and by_tcp["items"][0]["owner"] is None, by_tcp
    by_socket = desk.do("queue", "fern", "jobs")
    assert by_socket["items"][0]["name"] == "salaries" and by_socket["items"][0]["owner"], by_socket
    assert not desk.daemon.lines("salaries"), "a job's name in the log"
    desk.do("queue", "fern", "cancel", "--waiting", "--yes")
    desk.do("queue", "fern", "resume", "--yes")


def unasked(folder):
    """A queue that stops again and again is resumed as often as the configuration lets, and no more."""
    own = folder / "unasked"
    own.mkdir()
    own.chmod(0o755)
    with ipp_peers.spooler(own) as spooler:
        spooler.add("fern", "file:///dev/null")
        spooler.add("moss", "file:///dev/null")
        jammed = spooler.orders("sedge", "say STATE: +other-error\nexit 4\n")
        spooler.add("sedge", jammed)
        extra = f"""
[[queue]]
name = "sedge"
uri = "{spooler.queue_uri('sedge')}"
automatic = ["queue-stopped"]
automatic_per_day = 1
"""
        with harness.daemon(own, config(own, spooler, extra)) as daemon:
            desk = Desk(own, daemon, spooler)
            desk.spooler.command("cupsdisable", "moss")  # by hand, and not named: stays
            spooler.print("sedge")
            # It stops, is resumed once, stops again, and stays.
            harness.wait_for(lambda: any(r["who"] == "automatic" for r in desk.audit()), 60)
            time.sleep(5)
            done = [r for r in desk.audit() if r["who"] == "automatic"]
            assert len(done) == 1, done
            assert (done[0]["what"], done[0]["target"], done[0]["peer"]) == ("queue.resume", "sedge", "frisketd"), done
            assert "incident" in done[0]["detail"]["note"], done
            assert "disabled" in spooler.command("lpstat", "-p", "sedge")
            assert "disabled" in spooler.command("lpstat", "-p", "moss")


def main():
    with harness.scratch() as folder:
        with ipp_peers.spooler(folder) as spooler:
            spooler.add("fern", "file:///dev/null")
            spooler.add("moss", "file:///dev/null")
            with harness.daemon(folder, config(folder, spooler)) as daemon:
                desk = Desk(folder, daemon, spooler)
                harness.wait_for(lambda: daemon.get("/v1/queues/fern")[1]["state"] == "idle")
                bad_job(desk)
                pause_move_resume(desk)
                personal(desk)
                restart(desk)
        unasked(folder)
    return 0


sys.exit(main())
