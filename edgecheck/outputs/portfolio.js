/**
 * The list page at work: sort, filter, choose columns, page through the table; a map that is linked with it.
 *
 * In: the JSON of the element "data". A row of it is [id, name, folder, latitude, longitude, checks against the
 * site, cell, cell, ...]; a cell is a number or null, a place in "texts", or a list of such places. Everything that
 * came from a file reaches the page as textContent or as an attribute of a link under sites/, never as markup.
 * The map is drawn by portfolio-map.js, which stands after this text in the same function.
 */
const ID = 0, NAME = 1, FOLDER = 2, LATITUDE = 3, LONGITUDE = 4, AGAINST = 5, CELLS = 6;
const MOST_IN_PRINT = 1000, WIDE_ON_PAPER = 8;
const SVG = "http://www.w3.org/2000/svg";
const data = JSON.parse(document.getElementById("data").textContent);
const { columns, texts, rows, verdicts } = data;
const verdictAt = columns.findIndex((column) => column.key === "verdict");
const collator = new Intl.Collator("en", { numeric: true, sensitivity: "base" });
const narrow = window.matchMedia("(max-width: 46rem)").matches;
const find = (id) => document.getElementById(id);

const state = {
  shown: columns.map((column) => (narrow ? column.phone : column.shown)),
  sort: { at: -1, down: false }, // -1: best rank first, the order of the rows
  order: rows.map((_, place) => place),
  first: 0,
  size: narrow ? 25 : 100,
  chosen: -1,
};

/** Make an element with attributes and children; strings become text. */
function make(tag, attributes = {}, ...children) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value !== false && value !== null) element.setAttribute(name, value === true ? "" : value);
  }
  element.append(...children);
  return element;
}

/** The shape of a verdict; the word stands beside it or in the label of what holds it. */
function shape(word) {
  const svg = document.createElementNS(SVG, "svg");
  svg.setAttribute("class", "mark");
  svg.setAttribute("viewBox", "0 0 12 12");
  svg.setAttribute("aria-hidden", "true");
  const use = document.createElementNS(SVG, "use");
  use.setAttribute("href", `#shape-${verdicts.includes(word) ? word : "unusable"}`);
  svg.append(use);
  return svg;
}

const className = (word) => `w-${word.replaceAll(" ", "-")}`;
const verdictWord = (word) => make("span", { class: `word ${className(word)}` }, shape(word), word);
const verdictOf = (row) => texts[row[CELLS + verdictAt]];

/** A number as the reports write it: true minus sign, digits grouped from 10 000 on, its unit. */
function numberText(value, column) {
  if (value === null) return "not known";
  if (typeof value === "string") return "unlimited";
  let [whole, part = ""] = Math.abs(value).toFixed(column.decimals).split(".");
  if (whole.length > 4) whole = whole.replace(/\B(?=(\d{3})+$)/g, "\u202f");
  return `${value < 0 ? "\u2212" : ""}${whole}${part && "."}${part} ${column.unit}`.trim();
}

function reportLink(row, ...content) {
  const target = `sites/${encodeURIComponent(row[FOLDER])}/worst-hour.html`;
  return make("a", { href: target }, ...content);
}

/* ---- table ------------------------------------------------------------------------------------------------ */

function cell(row, at) {
  const column = columns[at], value = row[CELLS + at];
  if (column.kind === "number") {
    return make("td", { class: value === null ? "num none" : "num" }, numberText(value, column));
  }
  if (column.kind === "verdict") return make("td", {}, texts[value] ? verdictWord(texts[value]) : "");
  if (column.kind === "text") {
    const text = make("div", { class: "clip", dir: "auto" }, texts[value]);
    return make("td", { class: column.key === "reason" ? "why" : "own" }, text);
  }
  if (!value.length) return make("td", { class: "none" }, "none");
  const list = make("ul", {}, ...value.map((text) => make("li", { dir: "auto" }, texts[text])));
  return make("td", { class: "why" }, make("div", { class: "clip" }, list));
}

function siteCell(row) {
  const id = make("bdi", {}, row[ID]);
  const cell = make("th", { scope: "row" }, row[FOLDER] ? reportLink(row, id) : id);
  if (row[NAME]) cell.append(make("span", { class: "id", dir: "auto" }, row[NAME]));
  return cell;
}

function tableRow(place) {
  const row = rows[place], word = verdictOf(row);
  const label = `choose site ${row[ID]}, ${word}`;
  const button = make("button", { type: "button", class: className(word), "aria-label": label }, shape(word));
  const line = make("tr", {}, make("td", {}, button), siteCell(row));
  line.dataset.place = place;
  columns.forEach((_, at) => state.shown[at] && line.append(cell(row, at)));
  return line;
}

/** Which rows the table holds: a page of them, in print as many as paper bears. */
function tableRows(printing = false) {
  const rows = printing ? state.order.slice(0, MOST_IN_PRINT) : state.order.slice(state.first, state.first + state.size);
  find("sites").tBodies[0].replaceChildren(...rows.map(tableRow));
  markChosen();
  find("sites").classList.toggle("crowded", state.shown.filter(Boolean).length > WIDE_ON_PAPER);
  const last = Math.min(state.first + state.size, state.order.length);
  find("page-text").textContent = state.order.length ? `rows ${state.first + 1} to ${last} of ${state.order.length}` : "no row";
  find("page-back").disabled = state.first === 0;
  find("page-on").disabled = last >= state.order.length;
  find("print-rest").hidden = state.order.length <= MOST_IN_PRINT;
}

function tableHead() {
  const head = (at, title, meaning, number) => {
    const button = make("button", { type: "button", title: meaning || false }, title, make("span", { class: "arrow", "aria-hidden": "true" }));
    button.addEventListener("click", () => sortBy(at));
    const cell = make("th", { scope: "col", class: number && "num" }, button);
    cell.dataset.at = at;
    return cell;
  };
  const cells = columns.map((column, at) => state.shown[at] && head(at, column.title, column.meaning, column.kind === "number"));
  const chooser = make("td", {});
  find("sites").tHead.rows[0].replaceChildren(chooser, head(-2, "site", "id of the site"), ...cells.filter(Boolean));
  markSort();
}

function markSort() {
  for (const cell of find("sites").tHead.rows[0].querySelectorAll("th")) {
    const active = Number(cell.dataset.at) === state.sort.at;
    if (active) cell.setAttribute("aria-sort", state.sort.down ? "descending" : "ascending");
    else cell.removeAttribute("aria-sort");
    cell.querySelector(".arrow").textContent = active ? (state.sort.down ? " ▾" : " ▴") : "";
  }
}

/* ---- sort and filter -------------------------------------------------------------------------------------- */

/** Value of a row to sort by; null stands last whichever way the table is sorted. */
function sortKey(at) {
  if (at === -2) return (row) => row[ID];
  const { kind } = columns[at];
  if (kind === "number") return ({ [CELLS + at]: value }) => (value === "inf" ? Infinity : value === "-inf" ? -Infinity : value);
  if (kind === "list") return (row) => row[CELLS + at].length;
  const order = (word) => (verdicts.includes(word) ? verdicts.indexOf(word) : verdicts.length);
  if (kind === "verdict") return (row) => order(texts[row[CELLS + at]]);
  const words = (row) => texts[row[CELLS + at]].trim();
  const plain = rows.every((row) => words(row) === "" || Number.isFinite(Number(words(row))));
  return (row) => (words(row) === "" ? null : plain ? Number(words(row)) : words(row));
}

function sortBy(at) {
  const again = state.sort.at === at;
  state.sort = { at, down: again ? !state.sort.down : at >= 0 && columns[at].kind === "number" && columns[at].key !== "rank" };
  apply();
}

/** Put the rows that pass the filters in order; equal ones keep the order of the rank. */
function sorted(places) {
  const { at, down } = state.sort;
  if (at === -1) return places;
  const key = sortKey(at), sign = down ? -1 : 1;
  return places
    .map((place) => [key(rows[place]), place])
    .sort(([a, m], [b, n]) => {
      if (a === null || b === null) return (a === null) - (b === null) || m - n;
      const order = typeof a === "string" ? collator.compare(a, b) : a < b ? -1 : a > b ? 1 : 0;
      return sign * order || m - n;
    })
    .map(([, place]) => place);
}

/** Everything of a row that the text filter looks at, made when it is first asked for. */
const haystacks = [];
function haystack(place) {
  if (haystacks[place] === undefined) {
    const row = rows[place], parts = [row[ID], row[NAME]];
    columns.forEach(({ kind }, at) => {
      if (kind === "text") parts.push(texts[row[CELLS + at]]);
      if (kind === "list") parts.push(...row[CELLS + at].map((text) => texts[text]));
    });
    haystacks[place] = parts.join("\n").toLowerCase();
  }
  return haystacks[place];
}

/** The filters as they stand: a test of a row, and the same in words for the reader. */
function filters() {
  const form = find("choice").elements;
  const wanted = [...form.verdict].filter((box) => box.checked).map((box) => box.value);
  const tests = [], said = [];
  if (wanted.length < verdicts.length) {
    tests.push((place) => wanted.includes(verdictOf(rows[place])));
    said.push(wanted.length ? `verdict ${wanted.join(" or ")}` : "no verdict");
  }
  if (form.group.value) {
    const [group, word] = form.group.value.split("|");
    const at = columns.findIndex((column) => column.key === group);
    tests.push((place) => at >= 0 && texts[rows[place][CELLS + at]] === word);
    said.push(`${form.group.selectedOptions[0].label}`);
  }
  if (form.reason.value) {
    const [word, check, alone] = form.reason.value.split("|");
    tests.push((place) => {
      const row = rows[place];
      return verdictOf(row) === word && row[AGAINST].includes(Number(check)) && (!alone || row[AGAINST].length === 1);
    });
    said.push(form.reason.selectedOptions[0].label);
  }
  const asked = form.text.value.toLowerCase().split(/\s+/).filter(Boolean);
  if (asked.length) {
    tests.push((place) => asked.every((part) => haystack(place).includes(part)));
    said.push(`text “${form.text.value.trim()}”`);
  }
  return { passes: (place) => tests.every((test) => test(place)), said };
}

/** Filter, sort, show: after every change of what the reader asked for. */
function apply() {
  const { passes, said } = filters();
  state.order = sorted(rows.map((_, place) => place).filter(passes));
  state.first = 0;
  if (!state.order.includes(state.chosen)) state.chosen = -1;
  const { at, down } = state.sort;
  const by = at === -1 ? "best rank first" : `sorted by ${at === -2 ? "site" : columns[at].title}, ${down ? "falling" : "rising"}`;
  find("found").textContent = `${state.order.length} of ${rows.length} sites shown${said.length ? `: ${said.join("; ")}` : ""}; ${by}.`;
  markSort();
  tableRows();
  readOut();
  map.show(state.order);
}

/* ---- one site, chosen in table or map ---------------------------------------------------------------------- */

/** Choose a site; the table turns to the page that holds it. */
function choose(place) {
  state.chosen = place;
  const at = state.order.indexOf(place);
  if (at >= 0 && (at < state.first || at >= state.first + state.size)) {
    state.first = at - (at % state.size);
    tableRows();
  } else markChosen();
  readOut();
  map.mark(place);
}

/** One row is marked, and one button takes part in the order of the keyboard: arrows go on from it. */
function markChosen() {
  const lines = [...find("sites").tBodies[0].rows];
  for (const line of lines) {
    const chosen = Number(line.dataset.place) === state.chosen;
    const button = line.cells[0].firstChild;
    line.classList.toggle("chosen", chosen);
    button.setAttribute("aria-pressed", chosen);
    button.tabIndex = chosen ? 0 : -1;
  }
  const first = lines.find((line) => line.classList.contains("chosen")) ?? lines[0];
  if (first) first.cells[0].firstChild.tabIndex = 0;
}

function chosenLine() {
  return find("sites").querySelector("tr.chosen");
}

/** Bring the chosen row into sight inside the table, and put the keyboard on it where asked for. */
function toChosenRow(focus) {
  const line = chosenLine();
  if (!line) return;
  if (focus) line.cells[0].firstChild.focus();
  const frame = line.closest(".wide").getBoundingClientRect(), box = line.getBoundingClientRect();
  const head = find("sites").tHead.offsetHeight;
  if (focus || box.top < frame.top + head || box.bottom > frame.bottom) line.scrollIntoView({ block: "center" });
}

/** What the map says of the chosen site. */
function readOut() {
  const row = rows[state.chosen];
  find("to-row").hidden = !row;
  find("to-report").hidden = !row || !row[FOLDER];
  if (!row) {
    find("read-out").replaceChildren("No site is chosen.");
    return;
  }
  const reasonAt = columns.findIndex((column) => column.key === "reason");
  const reason = reasonAt < 0 ? "" : texts[row[CELLS + reasonAt]];
  const lines = [make("b", {}, make("bdi", {}, row[ID])), " "];
  if (row[NAME]) lines.push(make("bdi", {}, row[NAME]), " ");
  lines.push(verdictWord(verdictOf(row)));
  if (row[LATITUDE] === null) lines.push(" The list gives no usable position.");
  if (reason) lines.push(make("span", { class: "remark", dir: "auto" }, reason));
  find("read-out").replaceChildren(...lines);
  find("to-report").replaceChildren(row[FOLDER] ? reportLink(row, "Worst-hour report") : "");
}

/* ---- what the reader does ---------------------------------------------------------------------------------- */

function listen() {
  const form = find("choice");
  form.addEventListener("submit", (event) => event.preventDefault());
  form.addEventListener("change", (event) => event.target.name !== "text" && apply());
  form.elements.text.addEventListener("input", apply);
  form.addEventListener("reset", () => {
    state.sort = { at: -1, down: false };
    setTimeout(apply); // after the controls are back
  });
  const turn = (by) => {
    state.first = Math.max(0, state.first + by * state.size);
    tableRows();
    find("sites").closest(".wide").scrollTop = 0;
  };
  find("page-size").value = String(state.size);
  find("page-back").addEventListener("click", () => turn(-1));
  find("page-on").addEventListener("click", () => turn(1));
  find("page-size").addEventListener("change", ({ target }) => {
    state.size = Number(target.value) || rows.length;
    state.first = 0;
    tableRows();
  });
  const body = find("sites").tBodies[0];
  body.addEventListener("click", ({ target }) => {
    const line = target.closest("tr");
    if (line && !target.closest("a")) choose(Number(line.dataset.place));
  });
  body.addEventListener("keydown", (event) => {
    const line = event.target.closest("button")?.closest("tr");
    const step = { ArrowDown: "nextElementSibling", ArrowUp: "previousElementSibling" }[event.key];
    if (!line || !step) return;
    event.preventDefault();
    const next = line[step];
    if (!next) return;
    choose(Number(next.dataset.place));
    toChosenRow(true);
  });
  find("to-row").addEventListener("click", () => toChosenRow(true));
  for (const cell of document.querySelectorAll("[data-reason]")) {
    const number = cell.textContent;
    if (number === "0") continue;
    const button = make("button", { type: "button", "aria-label": `show the ${number} sites: ${cell.dataset.says}` }, number);
    button.addEventListener("click", () => {
      form.reset();
      form.elements.reason.value = cell.dataset.reason;
      apply();
      find("choice").scrollIntoView();
      find("found").focus({ preventScroll: true });
    });
    cell.replaceChildren(button);
  }
  window.addEventListener("beforeprint", () => { tableRows(true); map.draw(660); });
  window.addEventListener("afterprint", () => { tableRows(); map.draw(); });
}

function columnChoice() {
  const boxes = columns.map((column, at) => {
    const box = make("input", { type: "checkbox" });
    box.checked = state.shown[at];
    box.addEventListener("change", () => {
      state.shown[at] = box.checked;
      tableHead();
      tableRows();
    });
    const key = column.title === column.key ? "" : make("span", { class: "remark" }, ` ${column.key}`);
    return make("label", { title: column.meaning || false }, box, make("bdi", {}, column.title), key);
  });
  find("columns").replaceChildren(...boxes);
}

/** Begin: called once, after both texts are read. */
function start() {
  document.documentElement.classList.add("at-work");
  for (const part of document.querySelectorAll("[data-at-work]")) part.hidden = false;
  columnChoice();
  tableHead();
  listen();
  map.listen();
  apply();
  performance.mark("edgecheck-ready");
}
