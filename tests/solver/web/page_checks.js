// What page_checks.py looks for; runs inside the page that is judged.
([least]) => {
  const found = [];
  const shown = (e) => {
    const box = e.getBoundingClientRect(), style = getComputedStyle(e);
    return box.width > 0 && box.height > 0 && style.visibility !== "hidden" && !e.closest("[hidden]");
  };
  const said = (e) => {
    const by = e.getAttribute("aria-labelledby");
    if (by) return by.split(/\s+/).map((id) => document.getElementById(id)?.textContent ?? "").join(" ");
    return e.getAttribute("aria-label") || [...(e.labels ?? [])].map((l) => l.textContent).join(" ") ||
      (e.matches("input,select,textarea,progress") ? "" : e.textContent) ||
      [...e.querySelectorAll("img[alt],svg[aria-label]")].map((i) => i.alt || i.getAttribute("aria-label")).join(" ");
  };
  const name = (e) => `<${e.tagName.toLowerCase()}${e.id ? "#" + e.id : ""} name=${e.getAttribute("name") ?? ""}> ` +
    `"${(e.textContent || "").trim().slice(0, 30)}"`;

  // names, labels, one of each id, what points to an id
  const ids = [...document.querySelectorAll("[id]")].map((e) => e.id);
  for (const id of new Set(ids)) if (ids.filter((i) => i === id).length > 1) found.push(`two elements have the id ${id}`);
  for (const e of document.querySelectorAll("a[href],button,input:not([type=hidden]),select,textarea,summary,progress"))
    if (shown(e) && !said(e).trim()) found.push(`no name: ${name(e)}`);
  for (const e of document.querySelectorAll("img")) if (!e.hasAttribute("alt")) found.push(`no alt: ${name(e)}`);
  for (const e of document.querySelectorAll("img"))
    if (e.complete && !e.naturalWidth) found.push(`a picture that does not show: ${e.alt || e.src.slice(0, 60)}`);
  for (const e of document.querySelectorAll("svg"))
    if (!e.closest("[aria-hidden=true]") && !(e.getAttribute("aria-label") || e.getAttribute("aria-labelledby") || e.querySelector("title")))
      found.push("a drawing without a name");
  for (const kind of ["aria-describedby", "aria-labelledby", "aria-controls"])
    for (const e of document.querySelectorAll(`[${kind}]`))
      for (const id of e.getAttribute(kind).split(/\s+/))
        if (id && !ids.includes(id)) found.push(`${kind} of ${name(e)} names ${id}, which is not there`);
  for (const e of document.querySelectorAll("[aria-invalid=true]")) {
    const told = (e.getAttribute("aria-describedby") || "").split(/\s+/).map((id) => document.getElementById(id));
    if (!told.some((t) => t && t.classList.contains("wrong"))) found.push(`wrong, and not said why: ${name(e)}`);
  }
  if (!document.documentElement.lang) found.push("no language");
  if (!document.title.trim()) found.push("no title");
  if (document.querySelectorAll("main").length !== 1) found.push("not one main part");
  const heads = [...document.querySelectorAll("h1,h2,h3,h4")].filter(shown).map((h) => Number(h.tagName[1]));
  if (heads.filter((h) => h === 1).length !== 1) found.push("not one first heading");
  heads.forEach((h, i) => { if (i && h > heads[i - 1] + 1) found.push(`a heading of level ${h} after one of ${heads[i - 1]}`); });
  for (const e of document.querySelectorAll("[tabindex]")) if (e.tabIndex > 0) found.push(`an order of its own: ${name(e)}`);

  // contrast: each text against what is painted behind it
  const numbers = (colour) => { const c = colour.match(/[\d.]+/g).map(Number); return c.length < 4 ? [...c, 1] : c; };
  const light = ([r, g, b]) => {
    const part = (v) => (v /= 255) <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4;
    return 0.2126 * part(r) + 0.7152 * part(g) + 0.0722 * part(b);
  };
  const over = (top, under) => [0, 1, 2].map((i) => top[i] * top[3] + under[i] * (1 - top[3])).concat(1);
  const behind = (e) => {
    const layers = [];
    for (let at = e; at; at = at.parentElement) layers.push(numbers(getComputedStyle(at).backgroundColor));
    const ground = matchMedia("(prefers-color-scheme: dark)").matches ? [18, 18, 18, 1] : [255, 255, 255, 1];
    return layers.reverse().reduce((under, top) => over(top, under), ground);
  };
  const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  let looked = 0;
  while (texts.nextNode()) {
    const e = texts.currentNode.parentElement;
    if (!texts.currentNode.data.trim() || !shown(e) || e.closest("svg,script,style,option,[disabled]")) continue;
    const back = behind(e), front = over(numbers(getComputedStyle(e).color), back);
    const [a, b] = [light(front), light(back)], ratio = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
    looked += 1;
    if (ratio < 4.5) found.push(`contrast ${ratio.toFixed(2)}: ${name(e)}`);
  }

  // nothing sticks out of the window; what is pressed is large enough
  const wide = document.documentElement.clientWidth;
  if (document.documentElement.scrollWidth > wide + 1) {
    const out = [...document.querySelectorAll("main *")].filter((e) => shown(e) && e.getBoundingClientRect().right > wide + 1 && !e.closest(".scroll"));
    found.push(`the page is ${document.documentElement.scrollWidth} wide in a window of ${wide}: ${out.slice(0, 3).map(name).join(", ")}`);
  }
  if (least > 0)
    for (const e of document.querySelectorAll("a[href],button,input:not([type=hidden]),select,textarea,summary")) {
      const label = e.matches("input[type=checkbox],input[type=radio]") ? e.closest("label") : null;
      const box = (label ?? e).getBoundingClientRect();
      const inline = e.matches("a") && getComputedStyle(e).display === "inline";
      if (!shown(e) || inline || e.matches(".skip")) continue;
      if (box.height < least - 0.5 || box.width < least - 0.5)
        found.push(`a target of ${Math.round(box.width)} × ${Math.round(box.height)}: ${name(e)}`);
    }
  return {found, looked};
}
