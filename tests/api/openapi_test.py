#!/usr/bin/python3
"""GET /v1/openapi.json is an OpenAPI 3.1 document, and the real daemon answers as it says.

Every GET of the document is asked of a daemon with simulated printers in trouble and a real print spooler, whole, by
fields, in parts and under a condition (RFC 9110); each error that can be brought about from outside as well; and the POSTs
that change nothing outside of the daemon. The judges are the OpenAPI Initiative's schema and ajv (openapi_judge.mjs).
"""
import json
import pathlib
import re
import sys
import urllib.error
import urllib.request

import npm_packages
import harness  # found by way of npm_packages

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1] / "peers"))
import fleet  # noqa: E402
import ipp_peers  # noqa: E402

CONFIG = """
[[hook]]
name = "desk"
type = "exec"
program = "/bin/true"
"""


class Asker:
    """Asks, and keeps every answer for the judge."""

    def __init__(self, url):
        self.url, self.answers = url, []

    def ask(self, template, path=None, method="GET", body=None, some=False, **fields):
        """Status, decoded body and fields of the answer to a request that fits the template."""
        fields = {name.replace("_", "-"): value for name, value in fields.items()}
        data = None if body is None else json.dumps(body).encode()
        if data is not None:
            fields.setdefault("Content-Type", "application/json")
        request = urllib.request.Request(self.url + (path or template), data, fields, method=method)
        try:
            answer = urllib.request.urlopen(request, timeout=harness.GUARD)
        except urllib.error.HTTPError as failure:
            answer = failure
        with answer:
            kind = answer.headers["Content-Type"]
            text = answer.read(200) if kind == "text/event-stream" else answer.read()
        decoded = json.loads(text) if kind and "json" in kind else None
        self.answers.append({"method": method, "path": template, "status": answer.status, "type": kind, "body": decoded, "some": some})
        return answer.status, decoded, answer.headers


def query_names(document, operation):
    parameters = [document["components"]["parameters"][p["$ref"].rsplit("/", 1)[1]] if "$ref" in p else p
                  for p in operation.get("parameters", [])]
    return [p["name"] for p in parameters if p["in"] == "query"]


def ask_everything(asker, document, named):
    """Each GET, whole; what it says of parameters that it does not know; whether it knows its own answer again."""
    for template, methods in document["paths"].items():
        if "get" not in methods:
            continue
        path = template
        for word, value in named(template).items():
            path = path.replace("{" + word + "}", value)
        status, _, fields = asker.ask(template, path)
        assert status == 200, (template, path, status)
        declares_tag = "304" in methods["get"]["responses"]
        assert (fields["ETag"] is not None) == declares_tag, (template, fields["ETag"])
        if declares_tag:
            # What is polled meanwhile may be another by now, so a few tries.
            for _ in range(20):
                status, _, fields = asker.ask(template, path, If_None_Match=fields["ETag"])
                if status == 304:
                    break
            assert status == 304, template
            assert asker.ask(template, path, If_None_Match='"another"')[0] == 200
        if template in ("/", "/page/{file}"):
            continue  # a page takes what it is given
        status, problem, _ = asker.ask(template, path + "?colour=red")
        assert status == 400, (template, status)
        allowed = re.fullmatch(r"no parameter 'colour' here; allowed: (.*)", problem["detail"])[1]
        wanted = ", ".join(sorted(query_names(document, methods["get"]))) or "none"
        assert ", ".join(sorted(allowed.split(", "))) == wanted, f"{template}: takes {allowed}, the document has {wanted}"


def ask_parts(asker):
    for template, fields in (("/v1/devices", "name,state,supplies"), ("/v1/incidents", "id,summary"), ("/v1/supplies", "device,percent"),
                             ("/v1/queues", "name,jobs")):
        status, body, _ = asker.ask(template, f"{template}?fields={fields}&limit=1", some=True)
        assert status == 200 and list(body["items"][0]) == fields.split(","), body
        assert asker.ask(template, f"{template}?limit=0")[0] == 400
        assert asker.ask(template, f"{template}?fields=colour")[0] == 400
    assert asker.ask("/v1/incidents", "/v1/incidents?severity=worst")[0] == 400


def ask_errors(asker, incident):
    for template, path in (("/v1/devices/{name}", "/v1/devices/nobody"), ("/v1/queues/{name}", "/v1/queues/none"),
                           ("/v1/queues/{name}/jobs", "/v1/queues/none/jobs"), ("/v1/incidents/{id}", "/v1/incidents/none"),
                           ("/page/{file}", "/page/none.js")):
        assert asker.ask(template, path)[0] == 404, path
    ack = "/v1/incidents/{id}/ack"
    assert asker.ask(ack, ack.replace("{id}", "none"), "POST", {"by": "robin"})[0] == 404
    here = ack.replace("{id}", incident)
    assert asker.ask(ack, here, "POST", {"by": 1})[0] == 400
    assert asker.ask(ack, here, "POST", {"by": "robin"}, Content_Type="text/plain")[0] == 415
    assert asker.ask("/v1/devices/{name}/testprint", "/v1/devices/sim-00001/testprint", "POST", {})[0] == 409


def tell_of_upkeep(asker):
    """Stock, a complaint and its outcome, a task that was done; and each not well said."""
    harness.wait_for(lambda: asker.ask("/v1/upkeep")[1]["items"])
    task = asker.ask("/v1/upkeep")[1]["items"][0]["id"]
    complaints = "/v1/devices/{name}/complaints"
    asked = [("/v1/stock", "/v1/stock", {"part": "QX-701A", "act": "set", "count": 3}, {"part": "QX-701A", "act": "eat", "count": 3}),
             (complaints, "/v1/devices/sim-00001/complaints", {"symptom": "faded", "known": {"repeats": True}}, {"symptom": "sad"}),
             ("/v1/upkeep/{id}/done", f"/v1/upkeep/{task}/done", {"by": "robin"}, {"by": 1})]
    for template, path, good, bad in asked:
        assert asker.ask(template, path, "POST", good)[0] == 200, path
        assert asker.ask(template, path, "POST", bad)[0] == 400, path
    assert asker.ask("/v1/stock", "/v1/stock", "POST", {"part": "QX-701A", "act": "use", "count": 4})[0] == 409
    complaint = asker.ask("/v1/complaints")[1]["items"][0]["id"]
    outcome = "/v1/complaints/{id}/outcome"
    assert asker.ask(outcome, f"/v1/complaints/{complaint}/outcome", "POST", {"cause": "drum-worn"})[0] == 200
    assert asker.ask(outcome, "/v1/complaints/none/outcome", "POST", {"cause": "drum-worn"})[0] == 404
    assert asker.ask("/v1/devices/{name}/history", "/v1/devices/sim-00001/history?resolution=raw")[0] == 200


def act(asker, incident, queue):
    for verb, body in (("ack", {"by": "robin", "note": "on my way"}), ("take-back", {"by": "robin"}),
                       ("shelve", {"by": "robin", "for": "8h"}), ("close", {"by": "robin"})):
        template = f"/v1/incidents/{{id}}/{verb}"
        assert asker.ask(template, template.replace("{id}", incident), "POST", body)[0] == 200, verb
    assert asker.ask("/v1/hooks/{name}/test", "/v1/hooks/desk/test", "POST", {})[0] == 200
    tell_of_upkeep(asker)
    assert asker.ask("/v1/hooks/{name}/test", "/v1/hooks/none/test", "POST", {})[0] == 404
    for verb, body in (("pause", {}), ("resume", {"by": "robin"}), ("cancel", {"waiting": True})):
        template = f"/v1/queues/{{name}}/{verb}"
        status, _, _ = asker.ask(template, template.replace("{name}", queue), "POST", {**body, "dry_run": True})
        assert status == 200, (verb, status)
        assert asker.ask(template, template.replace("{name}", "none"), "POST", body)[0] == 404


def ask_strangers(asker):
    """With a file of tokens and without a token: what is refused, and how."""
    assert asker.ask("/v1/audit")[0] == 401
    for _ in range(12):
        status, _, fields = asker.ask("/v1/hooks/{name}/test", "/v1/hooks/desk/test", "POST", {}, Authorization="Bearer " + "x" * 43)
    assert status == 429 and int(fields["Retry-After"]) > 0, (status, fields)


def events(url, after, wanted):
    """The data of each kind of event that came after that id."""
    found = {}
    request = urllib.request.Request(url + "/v1/events", headers={"Last-Event-ID": after})
    with urllib.request.urlopen(request, timeout=harness.GUARD) as stream:
        name = None
        while wanted - set(found):
            line = stream.readline().decode().rstrip("\n")
            if line.startswith("event: "):
                name = line[7:]
            elif line.startswith("data: "):
                found[name] = json.loads(line[6:])
    return found


def trouble(printers):
    printers.do("sim-00001", "jam 2")
    printers.do("sim-00002", "open 1")
    printers.do("sim-00003", "level 1 1")
    printers.do("sim-00004", "off")


def settled_fleet(daemon):
    """An incident, once the whole picture is there."""
    def whole():
        kinds = {i["kind"] for i in daemon.items("/v1/incidents?state=raised")}
        queues = daemon.items("/v1/queues")
        return {"media-jam", "device-silent"} <= kinds and queues and queues[0]["jobs"]["known"] and kinds
    harness.wait_for(whole)
    return next(i["id"] for i in daemon.items("/v1/incidents") if i["kind"] == "media-jam")


def judged_events(daemon, asker, document):
    """The data of each event as an answer of its schema: the judge is given a path of its own for each."""
    names = {"notice": "NoticeEvent", "device": "DeviceEvent", "queue": "QueueEvent", "configuration": "ConfigurationEvent",
             "gap": "GapEvent"}
    with urllib.request.urlopen(daemon.url + "/v1/events", timeout=harness.GUARD) as stream:
        run = next(line for line in iter(stream.readline, b"") if line.startswith(b"id: ")).decode()[4:].split("-")[0]
    found = events(daemon.url, f"{run}-0", {"notice", "device", "queue", "configuration"})
    found.update(events(daemon.url, "nobody-1", {"gap"}))
    for name, data in found.items():
        if name not in names:
            continue
        path = f"/events/{name}"
        document["paths"][path] = {"get": {"operationId": f"event-{name}", "responses": {"200": {
            "description": name, "content": {"application/json": {"schema": {"$ref": f"#/components/schemas/{names[name]}"}}}}}}}
        asker.answers.append({"method": "GET", "path": path, "status": 200, "type": "application/json", "body": data, "some": False})


def checks(daemon, printers, folder):
    incident = settled_fleet(daemon)
    asker = Asker(daemon.url)
    _, document, _ = asker.ask("/v1/openapi.json")
    values = {"/v1/devices/{name}": {"name": "sim-00001"}, "/v1/incidents/{id}": {"id": incident}, "/page/{file}": {"file": "page.js"},
              "/v1/devices/{name}/history": {"name": "sim-00001"}, "/v1/queues/{name}": {"name": "herbarium%40office"}, "/v1/queues/{name}/jobs": {"name": "herbarium%40office"}}
    act(asker, incident, "herbarium%40office")
    ask_everything(asker, document, lambda template: values.get(template, {}))
    ask_parts(asker)
    ask_errors(asker, incident)
    judged_events(daemon, asker, document)
    return asker, document


def spoilt(answers):
    """An incident that lacks a member, has one too many, has a word that there is not, and one of the wrong type."""
    whole = next(answer for answer in answers if answer["path"] == "/v1/incidents/{id}" and answer["status"] == 200)
    lacking = {name: value for name, value in whole["body"].items() if name != "outcome"}
    return [{**whole, "body": body} for body in (lacking, {**whole["body"], "colour": "red"}, {**whole["body"], "severity": "worst"},
                                                 {**whole["body"], "raised_at": "yesterday"}, {**whole["body"], "times_raised": "1"})]


def main():
    with harness.scratch() as folder, fleet.fleet(folder, count=5) as printers, ipp_peers.spooler(folder) as spooler:
        spooler.add("herbarium", "file:///dev/null")
        spooler.command("cupsdisable", "herbarium")
        spooler.print("herbarium")
        tables = [harness.device_table(f"sim-{n:05}", f"127.18.0.{n}", printers.port, "1s") for n in range(1, 6)]
        config = harness.basic_config(folder, tables, CONFIG + ipp_peers.office(spooler), "[polling]\nsilent_after = 2\n")
        harness.community_file(folder, "public")
        with harness.daemon(folder, config) as daemon:
            harness.wait_for(lambda: all(d["reach"] == "answered" for d in daemon.items("/v1/devices")))
            trouble(printers)
            asker, document = checks(daemon, printers, folder)
        tokens = folder / "tokens"
        tokens.write_text("# nobody\n")
        with harness.daemon(folder, config.replace("[daemon]\n", f'[daemon]\ntokens = "{tokens}"\n')) as daemon:
            asker.url = daemon.url
            ask_strangers(asker)
        counts = {}
        for answer in asker.answers:
            counts[answer["status"]] = counts.get(answer["status"], 0) + 1
        faults = npm_packages.judge("openapi_judge.mjs", json.dumps({"document": document, "answers": asker.answers}).encode())
        bad = spoilt(asker.answers)
        found = npm_packages.judge("openapi_judge.mjs", json.dumps({"document": document, "answers": bad}).encode())
        assert len(found) >= len(bad), found  # the judge can refuse
        print(f"{len(asker.answers)} answers judged, by status: {counts}")
        for fault in faults:
            print("FAULT", fault)
        never = {(method.upper(), path) for path, methods in document["paths"].items() for method in methods} - {
            (answer["method"], answer["path"]) for answer in asker.answers}
        print("never asked:", sorted(never))
        unasked_gets = [path for method, path in never if method == "GET"]
        return 1 if faults or unasked_gets else 0


if __name__ == "__main__":
    sys.exit(main())
