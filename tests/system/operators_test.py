#!/usr/bin/python3
"""What people say of an incident (RFC 8632 section 3.5.2), through client, daemon and back."""
import json
import sys
import urllib.error
import urllib.request

import fleet
import harness


def post(daemon, path, body, content_type="application/json"):
    request = urllib.request.Request(daemon.url + path, json.dumps(body).encode(), {"Content-Type": content_type})
    try:
        with urllib.request.urlopen(request, timeout=harness.GUARD) as answer:
            return answer.status, json.load(answer)
    except urllib.error.HTTPError as failure:
        return failure.code, json.load(failure)


def main():
    with harness.scratch() as folder, fleet.fleet(folder) as printers:
        config = harness.basic_config(folder, [harness.device_table("potting-shed", "127.18.0.1", printers.port)])
        harness.community_file(folder, "public")
        with harness.daemon(folder, config) as daemon:
            harness.wait_for(lambda: daemon.device("potting-shed")["reach"] == "answered")
            printers.do("all", "jam 2")
            jam = harness.wait_for(lambda: [i for i in daemon.items("/v1/incidents?state=raised") if i["kind"] == "media-jam"])[0]

            said = daemon.client("ack", jam["id"], "--note", "on my way", "--by", "robin", "--json")
            assert said.returncode == 0, said
            answer = json.loads(said.stdout)
            assert answer["operator"] == "ack", answer
            assert [(a["operator"], a["by"], a["note"]) for a in answer["actions"]] == [("ack", "robin", "on my way")]
            assert daemon.get(f"/v1/incidents/{jam['id']}")[1] == answer

            # Set aside, it is open no more; the exit status of status says so.
            assert daemon.client("status", "--fail-on", "critical").returncode == 1
            assert daemon.client("shelve", jam["id"], "--for", "8h").returncode == 0
            assert daemon.client("status", "--fail-on", "critical").returncode == 0
            assert daemon.get("/v1/fleet")[1]["incidents"]["set_aside"] == 1
            assert daemon.client("take-back", jam["id"]).returncode == 0
            assert daemon.client("status", "--fail-on", "critical").returncode == 1
            assert daemon.client("take-back", jam["id"]).returncode == 2  # nothing is left to take back
            assert daemon.client("ack", "nothing-of-this-id").returncode == 2

            path = f"/v1/incidents/{jam['id']}/close"
            assert post(daemon, path, {"by": "robin"}, "text/plain")[0] == 415
            assert post(daemon, path, {"by": "robin", "until": "2026-01-01T00:00:00Z"})[0] == 400
            status, closed = post(daemon, path, {"by": "robin", "note": "the room is closed"})
            assert (status, closed["operator"], closed["state"]) == (200, "closed", "raised"), closed

            # The device has the last word on whether it is over.
            printers.do("all", "unjam")
            harness.wait_for(lambda: daemon.get(f"/v1/incidents/{jam['id']}")[1]["state"] == "cleared")
    print("acknowledged, shelved, taken back, closed")
    return 0


sys.exit(main())
