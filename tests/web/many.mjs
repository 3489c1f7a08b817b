// A fleet of many devices, as the routes of docs/api.md tell of them; the page itself comes from the real daemon.
import {createServer} from "node:http";

const states = ["ready", "ready", "ready", "busy", "attention", "silent", "stopped"];

function deviceOf(pattern, index) {
  return {
    ...pattern,
    name: `plot-${String(index).padStart(5, "0")}`,
    location: `Bed ${index % 97}, row ${index % 13}`,
    site: `garden-${index % 5}`,
    state: states[index % states.length],
  };
}

// Serves until close(); stir() tells of a thousand changed devices at once.
export async function serveMany(daemon, number) {
  const pattern = await (await fetch(`${daemon}/v1/devices/herbarium-copier`)).json();
  const fleet = await (await fetch(`${daemon}/v1/fleet`)).json();
  const incident = (await (await fetch(`${daemon}/v1/incidents?limit=1`)).json()).items[0];
  fleet.sites = [0, 1, 2, 3, 4].map((each) => ({name: `garden-${each}`, time_zone: "Europe/Dublin"}));
  const incidents = Array.from({length: 2000}, (_, index) => ({
    ...incident,
    id: `i${index}`,
    device: deviceOf(pattern, index).name,
    site: `garden-${index % 5}`,
  }));
  const streams = new Set();

  const list = (items, limit, after, keyOf) => {
    const from = after === null ? 0 : items.findIndex((each) => keyOf(each) === after) + 1;
    const page = items.slice(from, from + limit);
    return {items: page, next: from + limit < items.length ? keyOf(page.at(-1)) : null};
  };
  const devices = (limit, after) => {
    const from = after === null ? 0 : Number(after.slice(5)) + 1;
    const items = Array.from({length: Math.min(limit, number - from)}, (_, index) => deviceOf(pattern, from + index));
    return {items, next: from + limit < number ? items.at(-1).name : null};
  };
  const told = (asked) => {
    const limit = Number(asked.searchParams.get("limit") ?? 1000);
    const after = asked.searchParams.get("after");
    if (asked.pathname === "/v1/fleet") return fleet;
    if (asked.pathname === "/v1/queues") return {items: [], next: null};
    if (asked.pathname === "/v1/incidents") return list(incidents, limit, after, (each) => each.id);
    if (asked.pathname === "/v1/devices") return devices(limit, after);
    if (asked.pathname.startsWith("/v1/devices/plot-")) return deviceOf(pattern, Number(asked.pathname.slice(17)));
    return null;
  };
  const server = createServer(async (request, response) => {
    const asked = new URL(request.url, daemon);
    if (asked.pathname === "/v1/events") {
      response.writeHead(200, {"content-type": "text/event-stream"});
      response.write("retry: 2000\nid: run-0\n\n");
      streams.add(response);
      return request.on("close", () => streams.delete(response));
    }
    const made = told(asked);
    if (made !== null) return response.writeHead(200, {"content-type": "application/json"}).end(JSON.stringify(made));
    const answer = await fetch(daemon + request.url);
    return response
      .writeHead(answer.status, {"content-type": answer.headers.get("content-type")})
      .end(Buffer.from(await answer.arrayBuffer()));
  });
  await new Promise((go) => server.listen(0, "127.0.0.1", go));
  return {
    url: `http://127.0.0.1:${server.address().port}`,
    stir() {
      const event = (index) =>
        `event: device\nid: run-${index + 1}\ndata: ${JSON.stringify({name: deviceOf(pattern, index).name, site: "garden-0", state: "attention", at: new Date().toISOString()})}\n\n`;
      for (const stream of streams) for (let index = 0; index < 1000; index++) stream.write(event(index));
    },
    close() {
      server.closeAllConnections();
      server.close();
    },
  };
}
