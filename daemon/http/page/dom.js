// Building nodes. Text goes in as text only: nothing here, or anywhere on the page, parses markup.

// element("p", {class: "where"}, "in ", element("strong", {}, name))
export function element(tag, attributes, ...children) {
  const node = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value !== null && value !== undefined && value !== false) node.setAttribute(name, value === true ? "" : value);
  }
  node.append(...children.filter((child) => child !== null && child !== undefined && child !== ""));
  return node;
}

// A text that a device or a person wrote: its direction is its own affair.
export function said(text, attributes = {}) {
  return element("bdi", attributes, text);
}

// Makes the children of `parent` the given nodes, in order, touching only what moved: so that focus,
// open details and the scroll position survive.
export function arrange(parent, nodes) {
  const wanted = new Set(nodes);
  for (const child of [...parent.childNodes]) if (!wanted.has(child)) child.remove();
  let place = parent.firstChild;
  for (const node of nodes) {
    if (node === place) place = place.nextSibling;
    else parent.insertBefore(node, place);
  }
}
