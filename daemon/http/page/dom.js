// Building nodes and keeping the page up with them. Text goes in as text only: nothing here, or anywhere
// on the page, parses markup, and no style is written into an attribute.

const svgSpace = "http://www.w3.org/2000/svg";

function fill(node, attributes, children) {
  for (const [name, value] of Object.entries(attributes)) {
    if (value !== null && value !== undefined && value !== false) node.setAttribute(name, value === true ? "" : value);
  }
  node.append(...children.flat(Infinity).filter((child) => child !== null && child !== undefined && child !== ""));
  return node;
}

// element("p", {class: "where"}, "in ", element("strong", {}, name)); lists of children are laid flat.
export function element(tag, attributes = {}, ...children) {
  return fill(document.createElement(tag), attributes, children);
}

export function drawn(tag, attributes = {}, ...children) {
  return fill(document.createElementNS(svgSpace, tag), attributes, children);
}

// A text that a device or a person wrote: its direction is its own affair.
export function said(text, attributes = {}) {
  return element("bdi", attributes, text);
}

// A sign that repeats what the word beside it says: seen, not read aloud.
export function sign(glyph) {
  return element("span", {"aria-hidden": "true", class: "sign"}, glyph);
}

// A link within the page.
export function way(path, attributes, ...children) {
  return element("a", {...attributes, href: `#/${path.map(encodeURIComponent).join("/")}`}, ...children);
}

export function list(tag, attributes, items) {
  return items.length === 0 ? null : element(tag, attributes, ...items.map((item) => element("li", {}, item)));
}

const putOff = new WeakMap(); // node that is not made yet to {stamp, make}
const stamps = new WeakMap(); // node on the page to what it was made from

// A node for the children of an element that is made, by make(), only if what it is made from (`stamp`, a list) is not
// what the one on the page was made from. For long lists.
export function whenNew(tag, key, stamp, make) {
  const node = element(tag, {"data-key": key, "data-put-off": true});
  putOff.set(node, {stamp, make});
  return node;
}

const same = (a, b) => a !== undefined && a.length === b.length && a.every((each, index) => each === b[index]);

// The node with everything in it made.
function whole(node) {
  if (node.nodeType !== Node.ELEMENT_NODE) return node;
  const put = putOff.get(node);
  if (put) {
    const made = put.make();
    stamps.set(made, put.stamp);
    return made;
  }
  for (const each of node.querySelectorAll("[data-put-off]")) each.replaceWith(whole(each));
  return node;
}

const keyOf = (node) => (node.nodeType === Node.ELEMENT_NODE ? node.getAttribute("data-key") : null);

// Whether a details is open, and what is ticked, is the reader's affair: those are properties, or left alone here.
function sameAttributes(old, wanted) {
  for (const {name, value} of wanted.attributes) {
    if (name !== "open" && old.getAttribute(name) !== value) old.setAttribute(name, value);
  }
  for (const {name} of [...old.attributes]) if (name !== "open" && !wanted.hasAttribute(name)) old.removeAttribute(name);
}

function patch(old, wanted) {
  if (old.nodeType !== Node.ELEMENT_NODE) {
    if (old.nodeValue !== wanted.nodeValue) old.nodeValue = wanted.nodeValue;
    return;
  }
  sameAttributes(old, wanted);
  become(old, [...wanted.childNodes]);
}

// Makes the children of `parent` look like `nodes`, changing only what differs: so that focus, open
// details, ticks and the scroll position survive. Nodes with the same data-key are the same thing.
export function become(parent, nodes) {
  const wanted = new Set(nodes.map(keyOf).filter(Boolean));
  const known = new Map();
  for (const child of [...parent.childNodes]) {
    const key = keyOf(child);
    if (key && wanted.has(key)) known.set(key, child);
    else if (key) child.remove();
  }
  let place = parent.firstChild;
  for (const node of nodes) {
    const key = keyOf(node);
    const old = key ? known.get(key) : place && !keyOf(place) ? place : null;
    if (!old || old.nodeName !== node.nodeName) {
      parent.insertBefore(whole(node), place);
      continue;
    }
    if (old === place) place = place.nextSibling;
    else parent.insertBefore(old, place);
    const put = putOff.get(node);
    if (!put) patch(old, node);
    else if (!same(stamps.get(old), put.stamp)) {
      patch(old, put.make());
      stamps.set(old, put.stamp);
    }
  }
  while (place) {
    const next = place.nextSibling;
    place.remove();
    place = next;
  }
}
