#!/usr/bin/python3
"""Upkeep over the real programs, for devices with an invented past of two years: dates of supplies, the order list and the
stock behind it, the service plan, the meter, a round, a complaint from the telling to its outcome, and all of it over a restart.

What is checked is that one figure follows from another and from what was told; that the figures are right is checked in
tests/unit/daemon/upkeep and by forecast_quality.
"""
import datetime
import json
import subprocess
import sys

import fleet
import harness

LOW = "sim-00002"  # the device whose toner is nearly used up
CONFIG = """
[[supplier]]
name = "paper-mill"
lead_days = 3
review_days = 7

[[task]]
name = "spores"
title = "Brush the spores off the glass"
every_days = 30
devices = ["sim-00003"]
minutes = 4
"""


def told(daemon, *arguments, status=0):
    done = daemon.client(*arguments, "--json")
    assert done.returncode == status, (arguments, done)
    return json.loads(done.stdout) if status == 0 else done.stderr


def looked(daemon):
    """Until the first outlook is made."""
    return harness.wait_for(lambda: daemon.get("/v1/order")[1]["made_at"])


def check_dates(daemon):
    supplies = daemon.items("/v1/supplies")
    dated = [s for s in supplies if s["days_left"]]
    assert dated, supplies
    for supply in supplies:
        assert (supply["days_left"] is None) == bool(supply["days_left_why"]), supply
        known = [supply["days_left"][p] for p in ("p10", "p50", "p90") if supply["days_left"] and supply["days_left"][p] is not None]
        assert known == sorted(known), supply
    return {(s["device"], s["index"]): s for s in dated}


def check_against_course(daemon, supply):
    """The low one lasts about as long as a ruler laid along its last sixty days says, which knows of no weekends."""
    since = (datetime.datetime.now(datetime.timezone.utc) - datetime.timedelta(days=60)).strftime("%Y-%m-%dT%H:%M:%SZ")
    past = daemon.get(f"/v1/devices/{LOW}/history?resolution=day&from={since}")[1]
    course = [value for _, value in next(s for s in past["series"] if s["name"] == "supply:1")["points"]]
    assert supply["percent"] == 2 and course[0] > course[-1], course
    ruler = 60 * supply["percent"] / (course[0] - course[-1])
    left = supply["days_left"]
    assert left["p10"] / 1.5 <= ruler <= left["p90"] * 1.5, (supply, ruler)
    assert left["p90"] < 14, supply


def check_order(daemon):
    """What is wanted is wanted by somebody; stock that comes makes it less."""
    lines = daemon.get("/v1/order")[1]["items"]
    wanted = [line for line in lines if line["count"] > 0]
    assert wanted and lines[:len(wanted)] == wanted, lines
    first = wanted[0]
    assert LOW in first["for_devices"] and first["why"], first
    assert told(daemon, "order")["items"] == [line for line in wanted]
    told(daemon, "stock", "order", first["part"], str(first["count"]))
    told(daemon, "stock", "receive", first["part"], str(first["count"]))
    told(daemon, "stock", "use", first["part"], "99", status=2)
    def enough():
        line = next(line for line in daemon.get("/v1/order")[1]["items"] if line["part"] == first["part"])
        return line["on_hand"] == first["count"] and line["count"] == 0 and line
    harness.wait_for(enough)
    return first


def check_service(daemon):
    tasks = {t["id"]: t for t in daemon.get("/v1/upkeep?limit=1000")[1]["items"]}
    spores = tasks["sim-00003:spores"]
    assert spores["state"] == "overdue" and spores["remedy"]["cautions"], spores
    assert "sim-00001:spores" not in tasks and "sim-00001:feed-rollers" in tasks, list(tasks)
    after = told(daemon, "upkeep", "done", "sim-00003", "spores", "--by", "robin")
    assert after["state"] == "later", after

    def again():
        task = next(t for t in daemon.get("/v1/upkeep?device=sim-00003")[1]["items"] if t["task"] == "spores")
        due = datetime.datetime.fromisoformat(task["due_at"].replace("Z", "+00:00")) if task["due_at"] else None
        days = (due - datetime.datetime.now(datetime.timezone.utc)).days if due else 0
        return task["state"] == "later" and days in (29, 30) and task["last_done"]["by"] == "robin"
    harness.wait_for(again)


def check_meter(daemon):
    """The months of a device add up to what its history says."""
    month = (datetime.date.today().replace(day=1) - datetime.timedelta(days=1)).replace(day=1)
    end = (month + datetime.timedelta(days=31)).replace(day=1)
    one = told(daemon, "meter", "--month", f"{month:%Y-%m}", "--device", "sim-00001")["items"]
    assert len(one) == 1 and one[0]["impressions"] > 0 and one[0]["flags"] == [], one
    known = daemon.get("/v1/devices/sim-00001")[1]
    assert known["serial"] and all(one[0][key] == known[key] for key in ("maker", "model", "serial")), (one, known)
    # Half a day on each side, so that the site's summer time does not matter: nothing is printed at night.
    status, past = daemon.get(f"/v1/devices/sim-00001/history?resolution=day&from={month}T00:00:00Z&to={end}T00:00:00Z")
    assert status == 200, past
    line = next(s for s in past["series"] if s["name"] == "impressions")
    assert abs(sum(value for _, value in line["points"]) - one[0]["impressions"]) <= len(line["points"]), (line, one)
    csv = daemon.client("meter", "--month", f"{month:%Y-%m}", "--csv")
    row = next((line for line in csv.stdout.splitlines() if line.startswith("sim-00001,")), "")
    assert csv.returncode == 0 and f",{known['serial']},{known['maker']},{known['model']}" in row, csv


def check_round(daemon, printers):
    printers.do("sim-00001", "jam 2")
    harness.wait_for(lambda: [i for i in daemon.items("/v1/incidents?state=raised") if i["kind"] == "media-jam"])
    plan = told(daemon, "round", "--days", "14")
    jobs = {stop["device"]: stop["jobs"] for stop in plan["stops"]}
    jam = jobs["sim-00001"][0]
    assert jam["incident"] and jam["steps"] and jam["cautions"], jobs
    assert any(job["supply"] is not None for job in jobs[LOW]), jobs[LOW]
    assert plan["carry"], plan
    assert [stop["location"] for stop in plan["stops"]] == sorted(stop["location"] for stop in plan["stops"]), plan["stops"]
    short = told(daemon, "round", "--days", "14", "--minutes", "10")
    assert short["minutes"] <= 10 and len(short["left_out"]) > len(plan["left_out"]), short
    sheet = daemon.client("round", "--sheet")
    assert sheet.returncode == 0 and jam["steps"][0][:30] in sheet.stdout, sheet.stdout
    printers.do("sim-00001", "unjam")


def check_complaint(daemon):
    first = told(daemon, "complain", LOW, "faded")
    assert first["causes"][0]["cause"] == "supply-low" and first["known"]["supply-low"], first
    second = told(daemon, "complain", LOW, "faded", "--known", "repeats=yes")
    assert second["id"] == first["id"] and second["known"]["repeats"], second
    closed = told(daemon, "complain", "outcome", first["id"], "drum-worn")
    assert closed["cause"] == "drum-worn" and closed["closed_at"], closed
    third = told(daemon, "complain", LOW, "faded")
    assert third["id"] != first["id"] and third["known"]["failed-before"], third
    odds = lambda told_: next(c["prior"] for c in told_["causes"] if c["cause"] == "drum-worn")
    assert odds(third) > odds(first), (first, third)


def main():
    with harness.scratch() as folder, fleet.fleet(folder, count=3) as printers:
        places = ["Fernery, ground floor", "Herbarium, first floor", "Herbarium, second floor"]
        tables = [harness.device_table(f"sim-{n:05}", f"127.18.0.{n}", printers.port, "1s", place)
                  for n, place in enumerate(places, 1)]
        config = harness.basic_config(folder, tables, CONFIG)
        harness.community_file(folder, "public")
        printers.do(LOW, "level 1 2")
        with harness.daemon(folder, config) as daemon:
            harness.wait_for(lambda: all(d["reach"] == "answered" for d in daemon.items("/v1/devices")))
            assert all(s["days_left"] is None and s["days_left_why"] for s in daemon.items("/v1/supplies"))
            status, devices = daemon.get("/v1/devices")
        past = subprocess.run([harness.BUILD / "tests/past/simpast", folder / "frisket.db"], input=json.dumps(devices),
                              capture_output=True, text=True, timeout=harness.GUARD)
        assert past.returncode == 0, past
        with harness.daemon(folder, config) as daemon:
            harness.wait_for(lambda: all(d["reach"] == "answered" for d in daemon.items("/v1/devices")))
            looked(daemon)
            dated = check_dates(daemon)
            check_against_course(daemon, dated[LOW, 1])
            first = check_order(daemon)
            check_service(daemon)
            check_meter(daemon)
            check_round(daemon, printers)
            check_complaint(daemon)
            reliability = daemon.get("/v1/reliability")[1]
            assert len(reliability["items"]) == 3 and reliability["from"], reliability
        with harness.daemon(folder, config) as daemon:
            looked(daemon)
            stock = {s["part"]: s for s in daemon.get("/v1/stock")[1]["items"]}
            assert stock[first["part"]]["on_hand"] == first["count"], stock
            assert [c["cause"] for c in daemon.get("/v1/complaints")[1]["items"]] == [None, "drum-worn"]
            spores = next(t for t in daemon.get("/v1/upkeep?device=sim-00003")[1]["items"] if t["task"] == "spores")
            assert spores["last_done"]["by"] == "robin", spores
    print("upkeep: all held")


if __name__ == "__main__":
    sys.exit(main())
