#!/usr/bin/python3
"""The daemon's store: over a restart, copied while it runs, damaged, of a newer version, and with no room."""
import json
import os
import sqlite3
import subprocess
import sys
import time

import fleet
import harness


def jam_of(daemon):
    return [i for i in daemon.items("/v1/incidents?state=raised") if i["kind"] == "media-jam"]


def backup(folder, to):
    return subprocess.run([harness.BUILD / "frisketd", "--config", folder / "frisket.toml", "backup", to],
                          capture_output=True, text=True, timeout=harness.GUARD)


def main():
    with harness.scratch() as folder, fleet.fleet(folder) as printers:
        config = harness.basic_config(folder, [harness.device_table("potting-shed", "127.18.0.1", printers.port)])
        harness.community_file(folder, "public")
        store = folder / "frisket.db"
        with harness.daemon(folder, config) as daemon:
            printers.do("all", "jam 2")
            jam = harness.wait_for(lambda: jam_of(daemon))[0]
            assert daemon.client("ack", jam["id"], "--by", "robin").returncode == 0
            copy = folder / "copy.db"
            done = backup(folder, copy)
            assert done.returncode == 0, done
            assert backup(folder, copy).returncode == 2, "a backup must not overwrite"
            with sqlite3.connect(copy) as copied:
                assert copied.execute("PRAGMA integrity_check").fetchone() == ("ok",)
                rows = copied.execute("SELECT id, state FROM incidents WHERE kind = 'media-jam'").fetchall()
                assert rows == [(jam["id"], "raised")], rows
            assert oct(os.stat(store).st_mode & 0o777) == oct(os.stat(copy).st_mode & 0o777) == "0o600"

        # The same incident goes on, acknowledged as it was, and ends under its id.
        with harness.daemon(folder, config) as daemon:
            again = daemon.get(f"/v1/incidents/{jam['id']}")[1]
            assert again["operator"] == "ack" and again["raised_at"] == jam["raised_at"], again
            harness.wait_for(lambda: daemon.device("potting-shed")["reach"] == "answered")
            assert [i["id"] for i in jam_of(daemon)] == [jam["id"]]
            printers.do("all", "unjam")
            harness.wait_for(lambda: not jam_of(daemon))
            cleared = daemon.get(f"/v1/incidents/{jam['id']}")[1]
            assert cleared["state"] == "cleared" and cleared["proof"] == "awaited", cleared
            printers.do("all", "print 3")
            harness.wait_for(lambda: daemon.get(f"/v1/incidents/{jam['id']}")[1]["proof"] == "held")

        # The history of both runs is there, and until when the fleet was watched.
        with sqlite3.connect(store) as database:
            history = database.execute("SELECT name, length(body) FROM history_devices JOIN history ON history.number "
                                       "BETWEEN history_devices.number * 4096 AND history_devices.number * 4096 + 4095").fetchall()
            assert history and all(name == "potting-shed" and octets > 20 for name, octets in history), history
            watched = database.execute("SELECT value FROM counters WHERE name = 'watched_until'").fetchone()[0]
            assert abs(watched / 1000 - time.time()) < harness.GUARD, watched
        database.close()

        # A newer version's store is refused and left alone.
        with sqlite3.connect(store) as database:
            version = database.execute("PRAGMA user_version").fetchone()[0]
            database.execute(f"PRAGMA user_version = {version + 1}")
        database.close()
        refused = subprocess.run([harness.BUILD / "frisketd", "--config", folder / "frisket.toml"], capture_output=True,
                                 text=True, timeout=harness.GUARD)
        assert refused.returncode == 1 and "newer" in refused.stderr, refused
        with sqlite3.connect(store) as database:
            database.execute(f"PRAGMA user_version = {version}")
        database.close()

        # A damaged one is put aside, and the daemon goes on with what can be read.
        with open(store, "r+b") as file:
            file.seek(0)
            file.write(b"\0" * 64)
        with harness.daemon(folder, config) as daemon:
            assert daemon.lines("[store-damaged]"), "nobody was told of the damage"
            assert list(folder.glob("frisket.db.damaged-*")), "the damaged file is gone"
            assert daemon.health()["store"]["trouble"] is None, daemon.health()

        # Without a place to write, it watches and tells all the same, and says so.
        (folder / "no-folder").write_text("a file", encoding="utf-8")
        with harness.daemon(folder, config.replace(f'state_dir = "{folder}"', f'state_dir = "{folder}/no-folder"')) as daemon:
            printers.do("all", "jam 2")
            harness.wait_for(lambda: jam_of(daemon))
            health = daemon.health()
            assert health["status"] == "attention" and health["store"]["trouble"], health
            json.dumps(health)
    print("kept, copied, refused, recovered, done without")
    return 0


sys.exit(main())
