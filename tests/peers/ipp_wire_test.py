#!/usr/bin/python3
"""What the probe writes is IPP to another reader, and what another writer sends is understood.

The spooler and the reference printer share the codec library with the probe; this service does not: it
reads and writes octets by RFC 8010 alone (ipp_wire.py), and answers in chunks.
"""
import http.server
import sys
import threading

import ipp_peers
import harness  # found by way of ipp_peers
import ipp_wire as ipp

GET_PRINTER, GET_JOBS, PRINT, PAUSE, CANCEL, QUEUES = 0x000B, 0x000A, 0x0002, 0x0010, 0x0008, 0x4002


class Service(http.server.BaseHTTPRequestHandler):
    protocol_version = "HTTP/1.1"
    seen = []

    def log_message(self, *words):
        pass

    def do_POST(self):
        assert self.headers["Content-Type"] == "application/ipp"
        body = self.rfile.read(int(self.headers["Content-Length"]))
        request = ipp.read(body)
        self.seen.append((self.path, request))
        answer = self.answer(request)
        self.send_response(200)
        self.send_header("Content-Type", "application/ipp")
        self.send_header("Transfer-Encoding", "chunked")
        self.end_headers()
        for at in range(0, len(answer), 37):
            part = answer[at:at + 37]
            self.wfile.write(f"{len(part):x}\r\n".encode() + part + b"\r\n")
        self.wfile.write(b"0\r\n\r\n")

    def answer(self, request):
        _, code, request_id, _, _ = request
        a = ipp.attribute
        if code == GET_JOBS:
            first = (a(ipp.INTEGER, "job-id", 7) + a(ipp.ENUM, "job-state", 5)
                     + a(ipp.KEYWORD, "job-state-reasons", "job-printing") + a(ipp.INTEGER, "time-at-creation", -50)
                     + a(ipp.INTEGER, "job-k-octets", 12) + a(ipp.NAME, "job-name", "Farnbuch")
                     + a(ipp.NAME, "job-originating-user-name", "moos")
                     + a(ipp.URI, "job-printer-uri", "ipp://elsewhere/printers/farn"))
            third = a(ipp.INTEGER, "job-id", 9) + a(ipp.ENUM, "job-state", 3) + a(ipp.UNKNOWN, "job-k-octets", b"")
            return ipp.message(0, request_id, (ipp.JOB, first), (ipp.JOB, b""), (ipp.JOB, third))
        if code == PRINT:
            return ipp.message(1, request_id, (ipp.JOB, a(ipp.INTEGER, "job-id", 44) + a(ipp.ENUM, "job-state", 3)))
        if code in (PAUSE, CANCEL):
            return ipp.message(0, request_id)
        printer = (a(ipp.NAME, "printer-name", "farn") + a(ipp.ENUM, "printer-state", 5)
                   + a(ipp.KEYWORD, "printer-state-reasons", "media-jam-error", "made-up-by-nobody-at-all-warning")
                   + a(ipp.TEXT_LANG, "printer-state-message", ("de", "Papierstau im Fach 2"))
                   + a(ipp.BOOLEAN, "printer-is-accepting-jobs", False) + a(ipp.INTEGER, "queued-job-count", 2)
                   + a(ipp.INTEGER, "printer-up-time", 100) + a(ipp.NO_VALUE, "printer-location", b"")
                   + a(ipp.URI, "printer-uri-supported", f"ipp://127.0.0.1/printers/farn", "ipps://127.0.0.1/printers/farn")
                   + a(ipp.ENUM, "operations-supported", PRINT, PAUSE, CANCEL)
                   + a(ipp.OCTETS, "printer-supply", "index=2;type=ink;class=supplyThatIsConsumed;unit=percent;maxcapacity=100;"
                       "level=8;colorantname=cyan;")
                   + a(ipp.TEXT, "printer-supply-description", "Zyan")
                   + a(ipp.OCTETS, "printer-input-tray", "type=sheetFeedManual;maxcapacity=50;level=-3;status=4;name=vorn;")
                   + a(ipp.BEGIN, "media-col-ready",
                       [(ipp.BEGIN, "media-size", [(ipp.INTEGER, "x-dimension", 21000), (ipp.INTEGER, "y-dimension", 29700)]),
                        (ipp.KEYWORD, "media-source", "vorn"), (ipp.KEYWORD, "media-size-name", "iso_a4_210x297mm")],
                       [(ipp.KEYWORD, "media-source", "hinten")])
                   # Members: IPP registry, printer-impressions-completed-col.
                   + a(ipp.BEGIN, "printer-impressions-completed-col",
                       [(ipp.INTEGER, "full-color", 300), (ipp.INTEGER, "full-color-two-sided", 40),
                        (ipp.INTEGER, "highlight-color", 2), (ipp.INTEGER, "monochrome", 9000)])
                   + a(0x7F, "from-the-future", b"\x40\0\0\1octets") + a(ipp.MIME, "document-format-supported", "image/pwg-raster"))
        return ipp.message(0, request_id, (0x05, a(ipp.UNKNOWN, "nothing", b"")), (ipp.PRINTER, printer))


def names(group):
    return [name for name, _, _ in group[1]]


def value(group, wanted):
    return next((tag, values) for name, tag, values in group[1] if name == wanted)


def check_answers(probe):
    queue = probe.ask("queue")["queue"]
    assert queue["state"] == "stopped" and queue["accepting"] is False and queue["location"] == "", queue
    assert queue["message"] == "Papierstau im Fach 2", queue
    assert queue["reasons"] == [{"keyword": "media-jam", "mark": "error", "cut": False},
                                {"keyword": "made-up-by-nobody-at-all", "mark": "warning", "cut": False}], queue
    assert [(j["id"], j["state"], j["k_octets"]) for j in queue["jobs"]] == [(7, "processing", 12), (9, "pending", None)], queue
    assert queue["jobs"][0]["age"] == 150, queue  # before the last restart: counted on
    assert (queue["jobs"][0]["name"], queue["jobs"][0]["owner"]) == ("Farnbuch", "moos"), queue
    device = probe.ask("device")["device"]
    assert [(s["index"], s["type"], s["colorant"], s["level"], s["description"]) for s in device["supplies"]] == [
        (2, "ink", "cyan", 8, "Zyan")], device
    assert [(i["name"], i["level"], i["media"]) for i in device["inputs"]] == [("vorn", "some", "iso_a4_210x297mm")], device
    assert device["colour_impressions"] == 342, device
    assert device["device_status"] == "down" and device["interpreters"] == ["pwg-raster"], device
    assert [(x["code"], x["severity"]) for x in device["alerts"]] == [("jam", "critical"),
                                                                      ("other", "warning-binary-change-event")], device
    queues = probe.ask("spooler")["queues"]
    assert len(queues) == 1 and [j["id"] for j in queues[0]["jobs"]] == [7], queues


def check_requests(seen, folder, probe):
    seen.clear()
    probe.ask("queue")
    document = folder / "page"
    document.write_bytes(b"RaS2\0\1\2 and the rest")
    probe.do("print", "Testseite", "image/pwg-raster", document)
    probe.do("cancel", 7)
    codes = [request[1] for _, request in seen]
    assert codes == [GET_PRINTER, GET_JOBS, GET_PRINTER, PRINT, CANCEL], codes
    for path, (version, _, request_id, groups, data) in seen:
        assert path == "/printers/farn" and version == (2, 0) and request_id > 0
        tag, first = groups[0]
        assert tag == ipp.OPERATION
        assert first[0] == ("attributes-charset", ipp.CHARSET, ["utf-8"])
        assert first[1] == ("attributes-natural-language", ipp.LANGUAGE, ["en"])
        assert first[2][:2] == ("printer-uri", ipp.URI) and first[2][2][0].endswith("/printers/farn")
        assert len(set(names(groups[0]))) == len(first), "a name twice"
    for own in (seen[:2], seen[2:]):  # the reader's and the changer's, each with its own numbers
        ids = [request[2] for _, request in own]
        assert sorted(set(ids)) == ids, ids
    jobs = seen[1][1][3][0]
    assert value(jobs, "which-jobs") == (ipp.KEYWORD, ["not-completed"])
    assert value(jobs, "my-jobs") == (ipp.BOOLEAN, [False])
    assert value(jobs, "limit") == (ipp.INTEGER, [201])
    assert "job-state-reasons" in value(jobs, "requested-attributes")[1]
    printed = seen[3][1]
    assert value(printed[3][0], "document-format") == (ipp.MIME, ["image/pwg-raster"])
    assert value(printed[3][0], "job-name") == (ipp.NAME, ["Testseite"])
    assert printed[4] == document.read_bytes()
    assert names(seen[4][1][3][0])[3] == "job-id" and value(seen[4][1][3][0], "job-id") == (ipp.INTEGER, [7])


def main():
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), Service)
    server.daemon_threads = True
    threading.Thread(target=server.serve_forever, daemon=True).start()
    try:
        with harness.scratch() as folder, ipp_peers.probe(
                f"ipp://127.0.0.1:{server.server_port}/printers/farn") as probe:
            check_answers(probe)
            check_requests(Service.seen, folder, probe)
            assert probe.ask("counters")["open"] == 1
    finally:
        server.shutdown()
    print("written and read by RFC 8010 on the other side")


sys.exit(main())
