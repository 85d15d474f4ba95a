/**
 * The map: sites by their coordinates in a local equirectangular projection, with a graticule and a scale.
 *
 * x = R cos(middle latitude) longitude, y = R latitude, R = 6371.0088 km (mean radius, IUGG). Longitudes are cut at
 * the widest gap between sites, so that sites on both sides of the date line stand together. Near a pole the cosine
 * is held above 0.01. Every verdict has a shape of its own.
 */
const map = (() => {
  const KM_A_DEGREE = (6371.0088 * Math.PI) / 180;
  const LEFT = 60, BOTTOM = 20, EDGE = 6, LEAST_KM = 2, NEAR = 14;
  const STEPS = [90, 45, 30, 20, 10, 5, 2, 1, 0.5, 0.2, 0.1, 0.05, 0.02, 0.01, 0.005, 0.002, 0.001];
  const svg = find("map-drawing"), frame = find("map"), nothing = () => {};
  if (!frame) return { draw: nothing, mark: nothing, show: nothing, listen: nothing };
  const placed = rows.map((_, place) => place).filter((place) => rows[place][LATITUDE] !== null);
  const seam = widestGap(placed.map((place) => rows[place][LONGITUDE]));
  const unwrapped = (longitude) => (longitude < seam ? longitude + 360 : longitude);
  const middle = (values) => (values.reduce((a, b) => Math.min(a, b), 1e9) + values.reduce((a, b) => Math.max(a, b), -1e9)) / 2;
  const latitude0 = middle(placed.map((place) => rows[place][LATITUDE]));
  const longitude0 = middle(placed.map((place) => unwrapped(rows[place][LONGITUDE])));
  const wide = KM_A_DEGREE * Math.max(Math.cos((latitude0 * Math.PI) / 180), 0.01);
  const eastward = (longitude) => (longitude - longitude0) * wide;
  const northward = (latitude) => (latitude - latitude0) * KM_A_DEGREE;
  const at = new Map(placed.map((place) => [place, [eastward(unwrapped(rows[place][LONGITUDE])), northward(rows[place][LATITUDE])]]));
  // Centre in km; sheets a km, which outlasts a change of the sheet's size; pixels a km; pixels.
  const view = { x: 0, y: 0, zoom: 0, scale: 0, width: 0, height: 0 };
  let shown = placed;

  /** Longitude right after the widest gap between sites: the map begins there. */
  function widestGap(longitudes) {
    const order = [...new Set(longitudes)].sort((a, b) => a - b);
    let best = -1, start = -180;
    order.forEach((longitude, index) => {
      const before = index ? order[index - 1] : order[order.length - 1] - 360;
      if (longitude - before > best) [best, start] = [longitude - before, longitude];
    });
    return start;
  }

  const left = () => LEFT, right = () => view.width - EDGE, top = () => EDGE, bottom = () => view.height - BOTTOM;
  const sheet = () => Math.min(right() - left(), bottom() - top());
  const pixel = ([x, y]) => [
    (left() + right()) / 2 + (x - view.x) * view.scale,
    (top() + bottom()) / 2 - (y - view.y) * view.scale,
  ];
  const inside = ([x, y]) => x >= left() && x <= right() && y >= top() && y <= bottom();

  /** Move and scale so that some sites just fit. */
  function fit(places) {
    const points = places.filter((place) => at.has(place)).map((place) => at.get(place));
    if (!points.length) return;
    const [xs, ys] = [points.map(([x]) => x), points.map(([, y]) => y)];
    const span = (values) => Math.max(values.reduce((a, b) => Math.max(a, b)) - values.reduce((a, b) => Math.min(a, b)), LEAST_KM);
    [view.x, view.y] = [middle(xs), middle(ys)];
    view.zoom = (0.88 * Math.min((right() - left()) / span(xs), (bottom() - top()) / span(ys))) / sheet();
  }

  function line(tag, attributes, text) {
    const element = document.createElementNS(SVG, tag);
    for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, value);
    if (text !== undefined) element.textContent = text;
    return element;
  }

  /** Degrees in words: "46.8° N". */
  function degrees(value, step, signs) {
    const digits = Math.max(0, Math.ceil(-Math.log10(step) - 1e-9));
    const text = Math.abs(value).toFixed(digits);
    return `${text}°${Number(text) % 180 === 0 ? "" : ` ${value < 0 ? signs[1] : signs[0]}`}`;
  }

  /** Round lines across the sheet, their labels, and a border whose stripes change at every line. */
  function graticule() {
    const drawn = [];
    const lines = (perDegree, low, high, apart, most) => {
      const step = STEPS.findLast((one) => one * perDegree * view.scale >= apart) ?? STEPS[0];
      const from = Math.max(low, -most), to = Math.min(high, most), found = [];
      for (let k = Math.ceil(from / step); k * step <= to + 1e-9; k += 1) found.push(k);
      return { step, found };
    };
    const half = [(right() - left()) / 2 / view.scale, (bottom() - top()) / 2 / view.scale];
    const west = longitude0 + (view.x - half[0]) / wide, east = longitude0 + (view.x + half[0]) / wide;
    const south = latitude0 + (view.y - half[1]) / KM_A_DEGREE, north = latitude0 + (view.y + half[1]) / KM_A_DEGREE;
    const meridians = lines(wide, Math.max(west, longitude0 - 180), Math.min(east, longitude0 + 180), 64, 540);
    const parallels = lines(KM_A_DEGREE, south, north, 44, 90);
    const poles = [90, -90].map((latitude) => Math.min(Math.max(pixel([0, northward(latitude)])[1], top()), bottom()).toFixed(1));
    let d = "", stripes = "";
    const stripe = (k, step, project, low, high, draw) => {
      const [a, b] = [project(k * step), project((k + 1) * step)].map((value) => Math.min(Math.max(value, low), high));
      if (k % 2 === 0 && a !== b) stripes += draw(a, b);
    };
    const px = (longitude) => pixel([eastward(longitude), 0])[0], py = (latitude) => pixel([0, northward(latitude)])[1];
    for (const k of meridians.found) {
      const x = px(k * meridians.step).toFixed(1), turned = ((((k * meridians.step + 180) % 360) + 360) % 360) - 180;
      d += `M${x} ${poles[0]}V${poles[1]}`;
      const text = degrees(turned, meridians.step, "EW");
      if (x > left() + 20 && x < right() - 20) drawn.push(line("text", { x, y: view.height - 5, "text-anchor": "middle" }, text));
    }
    for (const k of parallels.found) {
      const y = py(k * parallels.step).toFixed(1);
      d += `M${left()} ${y}H${right()}`;
      if (y > top() + 4) drawn.push(line("text", { x: left() - 5, y: Number(y) + 3.5, "text-anchor": "end" }, degrees(k * parallels.step, parallels.step, "NS")));
    }
    const around = ({ found }) => (found.length ? [found[0] - 1, ...found] : []);
    for (const k of around(meridians)) stripe(k, meridians.step, px, left(), right(), (a, b) => `M${a} ${bottom()}H${b}M${a} ${top()}H${b}`);
    for (const k of around(parallels)) stripe(k, parallels.step, py, top(), bottom(), (a, b) => `M${left()} ${a}V${b}M${right()} ${a}V${b}`);
    const box = `M${left()} ${top()}H${right()}V${bottom()}H${left()}Z`;
    return [line("path", { class: "graticule", d }), line("path", { class: "frame", d: box }), line("path", { class: "stripes", d: stripes }), ...drawn];
  }

  /** A bar of a round length. */
  function scaleBar() {
    const most = (0.3 * (right() - left())) / view.scale, power = 10 ** Math.floor(Math.log10(most));
    const length = power * (most >= 5 * power ? 5 : most >= 2 * power ? 2 : 1), pixels = length * view.scale;
    const text = length >= 1 ? `${length.toLocaleString("en").replace(/,/g, "\u202f")} km` : `${Math.round(length * 1000)} m`;
    const x = right() - 10 - pixels, y = bottom() - 9;
    return [
      line("rect", { class: "paper", x: x - 6, y: y - 18, width: pixels + 12, height: 24 }),
      line("path", { class: "bar", d: `M${x} ${y - 4}V${y}H${x + pixels}V${y - 4}` }),
      line("text", { x: x + pixels / 2, y: y - 5, "text-anchor": "middle" }, text),
    ];
  }

  /** Marks of all sites in sight: one line of points a verdict, whose corners bear its shape. */
  function marks() {
    const points = Object.fromEntries([["aside", ""], ...verdicts.map((word) => [word, ""])]);
    const among = new Set(shown);
    for (const place of placed) {
      const point = pixel(at.get(place));
      if (inside(point)) points[among.has(place) ? verdictOf(rows[place]) : "aside"] += `M${point[0].toFixed(1)} ${point[1].toFixed(1)}h0`;
    }
    const small = placed.length > 800;
    return Object.entries(points).reverse().sort(([a], [b]) => (b === "aside") - (a === "aside")).map(([word, d]) => {
      const url = `url(#pin-${word}${small && word !== "aside" ? "-small" : ""})`;
      return line("path", { d, class: `pins-${word}`, "marker-start": url, "marker-mid": url });
    });
  }

  function draw(width = frame.clientWidth) {
    [view.width, view.height] = [width, Math.round(Math.min(Math.max(width * 0.95, 260), 430))];
    if (!view.zoom) fit(placed);
    view.scale = view.zoom * sheet();
    svg.setAttribute("viewBox", `0 0 ${view.width} ${view.height}`);
    svg.replaceChildren(svg.querySelector("defs"), ...graticule(), ...marks(), ...scaleBar());
    ring(state.chosen, "chosen");
  }

  /** A ring around the chosen site; the map follows where the site is out of sight. */
  function mark(place) {
    if (!at.has(place) || inside(pixel(at.get(place)))) return ring(place, "chosen");
    [view.x, view.y] = at.get(place);
    draw();
  }

  /** A ring around a site in sight, with its id beside it; one of a name at a time. */
  function ring(place, name) {
    svg.querySelector(`.${name}`)?.remove();
    if (!at.has(place) || !inside(pixel(at.get(place)))) return;
    const [x, y] = pixel(at.get(place)), group = line("g", { class: name });
    const rightHalf = x > (left() + right()) / 2, id = rows[place][ID];
    group.append(line("circle", { cx: x, cy: y, r: 9 }));
    group.append(line("text", { x: x + (rightHalf ? -13 : 13), y: y + 4, "text-anchor": rightHalf ? "end" : "start" }, id.length > 28 ? `${id.slice(0, 27)}…` : id));
    svg.append(group);
  }

  function zoom(by) {
    if (at.has(state.chosen)) [view.x, view.y] = at.get(state.chosen);
    view.zoom = Math.min(Math.max(view.zoom * by, 1e-5), 1e2);
    draw();
  }

  function nearest(event) {
    const box = svg.getBoundingClientRect(), k = view.width / box.width;
    const [x, y] = [(event.clientX - box.left) * k, (event.clientY - box.top) * k];
    let best = -1, least = NEAR;
    for (const place of shown) {
      if (!at.has(place)) continue;
      const [px, py] = pixel(at.get(place)), away = Math.hypot(px - x, py - y);
      if (away < least && inside([px, py])) [best, least] = [place, away];
    }
    return best;
  }

  /** The next site in a direction from the chosen one: near, and not far off the line. */
  function towards(dx, dy) {
    if (!at.has(state.chosen)) return shown.find((place) => at.has(place)) ?? -1;
    const [x0, y0] = at.get(state.chosen);
    let best = -1, least = Infinity;
    for (const place of shown) {
      if (!at.has(place) || place === state.chosen) continue;
      const [x, y] = at.get(place), away = Math.hypot(x - x0, y - y0);
      const along = ((x - x0) * dx + (y - y0) * dy) / (away || 1);
      if (along > 0.5 && away * (2 - along) < least) [best, least] = [place, away * (2 - along)];
    }
    return best;
  }

  function step(by) {
    const order = shown.filter((place) => at.has(place)), now = order.indexOf(state.chosen);
    return order[now < 0 ? 0 : Math.min(Math.max(now + by, 0), order.length - 1)] ?? -1;
  }

  function keys(event) {
    const found = {
      ArrowLeft: () => towards(-1, 0), ArrowRight: () => towards(1, 0), ArrowUp: () => towards(0, 1), ArrowDown: () => towards(0, -1),
      PageDown: () => step(1), PageUp: () => step(-1),
    }[event.key];
    const deed = { "+": () => zoom(1.6), "-": () => zoom(1 / 1.6), Home: () => { fit(placed); draw(); }, Enter: () => toChosenRow(true) }[event.key];
    if (event.ctrlKey || event.metaKey || event.altKey || !(found || deed)) return;
    event.preventDefault();
    if (deed) return deed();
    const place = found();
    if (place >= 0) { choose(place); toChosenRow(false); }
  }

  function listen() {
    let grip = null;
    find("map-middle").textContent = degrees(latitude0, 0.1, "NS");
    frame.addEventListener("keydown", keys);
    svg.addEventListener("pointerdown", (event) => { grip = { x: event.clientX, y: event.clientY, moved: false }; });
    window.addEventListener("pointerup", (event) => {
      const held = grip;
      grip = null;
      if (!held || held.moved) return;
      const place = nearest(event);
      if (place >= 0) { choose(place); toChosenRow(false); }
    });
    svg.addEventListener("pointermove", (event) => {
      if (!grip) return ring(nearest(event), "under");
      const k = view.width / svg.getBoundingClientRect().width;
      const [dx, dy] = [(event.clientX - grip.x) * k, (event.clientY - grip.y) * k];
      if (event.pointerType !== "mouse" || (!grip.moved && Math.hypot(dx, dy) < 4)) return;
      grip = { x: event.clientX, y: event.clientY, moved: true };
      view.x -= dx / view.scale;
      view.y += dy / view.scale;
      draw();
    });
    svg.addEventListener("pointerleave", () => ring(-1, "under"));
    find("map-in").addEventListener("click", () => zoom(1.6));
    find("map-out").addEventListener("click", () => zoom(1 / 1.6));
    find("map-all").addEventListener("click", () => { fit(placed); draw(); });
    find("map-shown").addEventListener("click", () => { fit(shown); draw(); });
    new ResizeObserver(() => frame.clientWidth !== view.width && draw()).observe(frame);
  }

  return {
    draw,
    mark,
    listen,
    /** Which sites pass the filters; the others stay as dots. */
    show(places) { shown = places; draw(); },
  };
})();
