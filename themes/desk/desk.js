// Comfort for the desk. Every form works without it; nothing is stored in the browser.
(function () {
  "use strict";
  var narrow = window.matchMedia("(max-width: 43.99rem)");
  function all(q, root) { return Array.prototype.slice.call((root || document).querySelectorAll(q)); }
  function one(q, root) { return (root || document).querySelector(q); }
  function by(id) { return document.getElementById(id); }
  function text(node, words) { if (node && node.textContent !== words) { node.textContent = words; } }
  // the desk's words, in its language, stand where they are needed
  var phrases = {};
  all("[data-phrases]").forEach(function (node) { Object.assign(phrases, JSON.parse(node.dataset.phrases)); });
  function phrase(name, values) { return phrases[name].replace(/\{(\w+)\}/g, function (_, key) { return values[key]; }); }
  function quoted(words) { return JSON.stringify(words); }

  document.documentElement.classList.add("has-script");
  all(".only-script").forEach(function (node) { node.hidden = false; });

  // somebody is still here: told at most once a minute, so that the desk does not close under the hands
  var root = one("link[rel=stylesheet]").getAttribute("href").replace(/assets\/.*/, ""), told = Date.now();
  ["pointerdown", "keydown"].forEach(function (kind) { document.addEventListener(kind, function () {
    if (Date.now() - told > 60000) { told = Date.now(); fetch(root + "alive").catch(function () {}); }
  }, { passive: true }); });

  // an order of work: the plan follows what is moved, without losing the place on the page
  var order = by("o-form"), asked = 0;
  if (order) {
    all("input[type=range]", order).forEach(function (r) { r.addEventListener("input", function () { text(one("output", r.parentNode), r.value); }); });
    order.addEventListener("change", function () {
      var mine = ++asked, where = window.location.pathname + "?" + new URLSearchParams(new FormData(order)), result = by("o-result");
      result.classList.add("is-old");
      fetch(where).then(function (answer) { return answer.text(); }).then(function (page) {
        var there = new DOMParser().parseFromString(page, "text/html"), plan = there.getElementById("o-result"), form = there.getElementById("o-form");
        if (mine !== asked) { return; }
        if (!plan) { window.location.href = where; return; }
        result.replaceChildren.apply(result, all(":scope > *", plan));
        result.classList.remove("is-old");
        ["was-bare", "set-bare"].forEach(function (name) {
          var old = one("[name=" + name + "]", order), now = one("[name=" + name + "]", form);
          if (old) { old.remove(); }
          if (now) { order.appendChild(now); }
        });
        var bare = one("[name=bare]", form);
        by("o-bare").value = bare.value;
        text(one("output", by("o-bare").parentNode), bare.value);
        text(by("o-said"), there.getElementById("o-said").textContent);
        window.history.replaceState(null, "", where);
      }).catch(function () { window.location.href = where; });
    });
  }

  // pictures dropped anywhere, or chosen: one after the other, each in a request of its own
  var drop = by("drop");
  function send(files) {
    var say = by("drop-say"), left = [], at = 0, sent = 0;
    function next() {
      if (at >= files.length) {
        if (sent) { window.location.href = drop.dataset.inbox + (left.length ? "?" + left.slice(0, 20).map(function (w) { return "said=" + encodeURIComponent(w); }).join("&") : ""); }
        else { text(say, left.join(" ")); }
        return;
      }
      var file = files[at];
      at += 1;
      text(say, phrase("taking", { at: at, files: files.length, name: file.name }));
      if (file.size > 400000000) { left.push(phrase("large", { name: file.name })); next(); return; }
      fetch(drop.dataset.upload + "?name=" + encodeURIComponent(file.name), { method: "POST", body: file, headers: { "Content-Type": "application/octet-stream" } })
        .then(function (answer) { return answer.json(); })
        .then(function (got) { if (got.said) { left.push(got.said); } else { sent += 1; } next(); })
        .catch(function () { text(say, phrase("silent", { at: at, files: files.length })); });
    }
    next();
  }
  if (drop) {
    one("input[type=file]", drop).addEventListener("change", function () { if (this.files.length) { send(Array.prototype.slice.call(this.files)); } });
    ["dragover", "drop"].forEach(function (kind) { document.addEventListener(kind, function (e) {
      if (!e.dataTransfer || Array.prototype.indexOf.call(e.dataTransfer.types, "Files") < 0) { return; }
      e.preventDefault();
      drop.classList.toggle("is-over", kind === "dragover");
      if (kind === "drop" && e.dataTransfer.files.length) { send(Array.prototype.slice.call(e.dataTransfer.files)); }
    }); });
    document.addEventListener("dragleave", function (e) { if (!e.relatedTarget) { drop.classList.remove("is-over"); } });
  }
  var planning = one("[data-planning]");
  if (planning) {
    var look = function () {
      fetch(planning.dataset.planning).then(function (a) { return a.json(); }).then(function (far) {
        if (far.planning) { window.setTimeout(look, 300); } else { window.location.replace(window.location.href.split("#")[0]); }
      }).catch(function () { window.setTimeout(look, 1500); });
    };
    window.setTimeout(look, 300);
  }

  var form = by("form");
  if (!form) { return; }

  // the record so far: each answer's lines under it, its words in the title block
  function writes(q, lines) {
    var p = one(".writes", q);
    if (!p) { return; }
    p.textContent = "";
    if (lines) { var b = document.createElement("b"); b.textContent = lines.replace(/\n(?!\[\[)/g, "   "); p.appendChild(b); }
  }
  function cell(q, words) {
    var dd = by("cell-" + q.id.slice(2));
    if (!dd) { return; }
    text(dd, words || dd.dataset.empty || phrases.open);
    dd.classList.toggle("open", !words);
    dd.classList.toggle("just", !!words);
  }
  function given(q, lines, words) {
    writes(q, lines); cell(q, words);
    q.classList.toggle("is-given", !!lines);
    outcome(); label();
  }
  var touched = { "q-needles": [], "q-inks": [] }, touchedAt = 0;
  form.addEventListener("pointerup", function () { touchedAt = Date.now(); });
  function choices(q) {
    var checked = all(".ans input:checked", q).filter(function (i) { return i.dataset.w; });
    if (touched[q.id]) {
      touched[q.id] = touched[q.id].filter(function (i) { return i.checked; }).concat(checked.filter(function (i) { return touched[q.id].indexOf(i) < 0; }));
      checked = touched[q.id];
      if (q.id === "q-needles") { by("needle-order").value = checked.map(function (i) { return i.value; }).join("\n"); }
    }
    return checked;
  }
  function refresh(q) {
    var picked = choices(q), lines = picked.map(function (i) { return i.dataset.w; }), words = picked.map(function (i) { return i.dataset.say; });
    var title = by("f-title"), who = by("f-client"), place = by("f-place"), w = by("f-w"), h = by("f-h"), own;
    switch (q.id) {
      case "q-title": given(q, title.value.trim() && "title = " + quoted(title.value.trim()), title.value.trim()); return;
      case "q-client": var code = codeOf(who.value); given(q, code && "client = " + quoted(code), code); return;
      case "q-place": given(q, placeLines(), place.value && said(place.value)); return;
      case "q-size":
        var size = [["width", w.value.trim()], ["height", h.value.trim()]].filter(function (s) { return s[1]; });
        given(q, size.map(function (s) { return s[0] + " = " + quoted(/^[\d.,]+$/.test(s[1]) ? s[1].replace(",", ".") + " " + form.dataset.units : s[1]); }).join("\n"), size.length ? (w.value || "?") + " × " + (h.value || "?") + " " + form.dataset.units : "");
        return;
      case "q-time":
        own = by("f-hours").value.trim();
        if (own) { lines = ["[[sitting]]\ndate = " + by("f-day").value + "\nhours = " + (isNaN(own.replace(",", ".")) ? quoted(own) : own.replace(",", "."))]; words = [own]; }
        else if (lines.length && by("f-day").value) { lines = [lines[0].replace(/date = [\d-]+/, "date = " + by("f-day").value)]; }
        break;
      case "q-needles":
        own = by("f-needle").value.trim();
        lines = picked.map(function (i) { var use = useOf(i.value); return i.dataset.w + (use && use.value.trim() ? "\nuse = " + quoted(use.value.trim()) : ""); });
        if (own) { lines = lines.concat("[[needle]]\ncode = " + quoted(own) + key("use", by("f-use")) + key("batch", by("f-box"))); words = words.concat(own); }
        offerUses(picked.map(function (i) { return i.value; }));
        break;
      case "q-release": if (one("input[type=file]", q).files.length) { lines = lines.concat((lines.length ? "" : "[release]\n") + "file = " + quoted("release" + suffixOf(one("input[type=file]", q)))); } break;
      case "q-publish": lines = lines.concat(moreLines()); break;
      default: if (/^q-ref-/.test(q.id)) { lines = lines.concat(paperLines(q)); }
      case "q-inks": own = by("f-ink").value.trim(); if (own) { lines = lines.concat("[[ink]]\nbatch = " + quoted(own)); words = words.concat(own); } break;
    }
    given(q, (narrow.matches && touched[q.id] ? lines.slice(-1) : lines).join("\n"), words.join(", "));
  }
  function key(name, field) { return field.value.trim() ? "\n" + name + " = " + quoted(field.value.trim()) : ""; }
  function useOf(needle) { return one('[data-use="' + CSS.escape(needle) + '"] input', form); }
  function offerUses(chosen) {
    all("[data-use]", form).forEach(function (d) { d.hidden = chosen.indexOf(d.dataset.use) < 0; });
    if (by("uses-none")) { by("uses-none").hidden = chosen.length > 0; }
  }
  function suffixOf(field) { var m = /\.[^.]+$/.exec(field.files[0].name); return m ? m[0].toLowerCase() : ""; }
  function moreLines() {
    var more = by("more"), lines = [], styles = all("input[name=style]:checked", more).map(function (i) { return i.value; });
    by("f-styles").value.split(/[,;]/).forEach(function (w) { if (w.trim()) { styles.push(w.trim()); } });
    if (styles.length) { lines.push("styles = [" + styles.map(quoted).join(", ") + "]"); }
    var cover = one("input[name=cover]:checked", more);
    if (cover) { lines.push(cover.dataset.name + ": cover = true"); }
    var price = [["charged", by("f-charged")], ["deposit", by("f-deposit")]].filter(function (p) { return p[1].value.trim(); });
    if (price.length) { lines.push("[price]\n" + price.map(function (p) { var v = p[1].value.trim().replace(",", "."); return p[0] + " = " + (isNaN(v) ? quoted(p[1].value.trim()) : v); }).join("\n")); }
    if (by("f-notes").value.trim()) { lines.push("notes.md: " + by("f-notes").value.trim().split("\n")[0]); }
    return lines;
  }
  function allowed(q) { return all("[data-allows]:checked", q).map(function (i) { return i.dataset.allows; }); }
  function paperLines(q) {
    var right = one("input[data-paper]:checked", q), file = one("input[type=file]", q), lines = [];
    if (!right) { return lines; }
    if (file.files.length) { lines.push("permission = " + quoted("references/" + file.files[0].name)); }
    if (allowed(q).length) { lines.push("allows = [" + allowed(q).map(quoted).join(", ") + "]"); }
    return lines;
  }
  // what a reference still waits for; empty when for nothing
  function waitsFor(q) {
    var right = one("input[name^=right-]:checked", q);
    if (!right) { return "whose picture " + q.dataset.about + " is"; }
    if (!right.dataset.paper) { return right.dataset.holds || ""; }
    if (!one("input[type=file]", q).files.length) { return right.dataset.holds + " for " + q.dataset.about; }
    return allowed(q).indexOf("show-tattoo") < 0 ? "whether " + right.dataset.paper + " allows showing the tattoo" : "";
  }
  form.addEventListener("input", function (e) { var q = e.target.closest(".q"); if (q) { ask(e.target); refresh(q); } });
  form.addEventListener("change", function (e) {
    var q = e.target.closest(".q"), i = e.target;
    if (!q) { return; }
    if (i.dataset.size) { var s = i.dataset.size.split(";"); by("f-w").value = i.checked ? s[0] : ""; by("f-h").value = i.checked ? s[1] : ""; }
    all(".follow", q).forEach(function (f) { f.classList.toggle("is-open", all("[data-opens]:checked", q).some(function (o) { return o.dataset.opens === f.id; })); });
    refresh(q);
    // by keyboard one walks through the answers first; a finger has chosen
    if (i.checked && i.hasAttribute("data-go") && Date.now() - touchedAt < 800) { step(1); }
  });
  // a touched answer can be taken back by touching it again
  all(".ans input[type=radio]", form).forEach(function (i) {
    var was = false;
    i.closest("label").addEventListener("pointerdown", function () { was = i.checked; });
    i.addEventListener("click", function () { if (was) { i.checked = false; was = false; refresh(i.closest(".q")); } });
  });
  all("[data-fill]").forEach(function (b) { b.addEventListener("click", function () {
    var at = b.dataset.fill.indexOf("="), field = by(b.dataset.fill.slice(0, at));
    field.value = b.dataset.fill.slice(at + 1); refresh(field.closest(".q"));
    if (narrow.matches) { step(1); }
  }); });
  all("[data-same]").forEach(function (b) { b.addEventListener("click", function () {
    var q = b.closest(".q"), last = b.dataset.same.split("\n");
    last.forEach(function (value) { all(".ans input", q).forEach(function (i) { if (i.value === value && !i.checked) { i.checked = true; refresh(q); } }); });
  }); });
  var size = by("f-w"), tall = by("f-h");
  if (size.dataset.ratio) {
    var typedTall = false;
    tall.addEventListener("input", function () { typedTall = !!tall.value; });
    size.addEventListener("input", function () {
      var n = parseFloat(size.value.replace(",", "."));
      if (!typedTall) { tall.value = n > 0 ? String(form.dataset.units === "mm" ? Math.round(n * size.dataset.ratio) : Math.round(n * size.dataset.ratio * 100) / 100) : ""; }
    });
  }
  [size, tall].forEach(function (f) { f.addEventListener("input", function () { all("[data-size]", form).forEach(function (o) { o.checked = f.value !== "" && o.dataset.size === size.value + ";" + tall.value; }); }); });

  // one short question about a field as it is typed
  var asking = 0;
  function ask(field) {
    if (!field.dataset.field) { return; }
    var mine = asking += 1, box = one(".asked", field.closest(".q")), typed = field.value.trim();
    if (!box || !typed) { if (box) { box.textContent = ""; } return; }
    fetch(form.dataset.questions + "?field=" + field.dataset.field + "&text=" + encodeURIComponent(typed)).then(function (a) { return a.json(); }).then(function (got) {
      if (mine !== asking) { return; }
      box.textContent = "";
      if (!got.question) { return; }
      var s = document.createElement("span"); s.className = "mark mark--act"; s.textContent = got.question; box.appendChild(s);
      got.choices.forEach(function (words) {
        var b = document.createElement("button"); b.type = "button"; b.className = "ans"; b.textContent = words;
        b.addEventListener("click", function () { field.value = words; box.textContent = ""; field.dispatchEvent(new Event("input", { bubbles: true })); });
        box.appendChild(b);
      });
    }).catch(function () {});
  }

  // what was noted before on this place or this client, once both can be read; quiet where there is nothing
  var noted = by("noted"), last = "", soon = 0;
  function look() {
    var asked = "?place=" + encodeURIComponent(by("f-place").value.trim()) + "&client=" + encodeURIComponent(by("f-client").value.trim()) + "&code=" + encodeURIComponent(by("f-client-code").value);
    if (asked === last) { return; }
    last = asked;
    fetch(noted.dataset.noted + asked).then(function (a) { return a.json(); }).then(function (rows) {
      if (asked !== last) { return; }
      noted.textContent = "";
      noted.hidden = !rows.length;
      if (!rows.length) { return; }
      var head = document.createElement("p"), items = document.createElement("ul");
      head.className = "lab";
      head.textContent = phrases.noted;
      rows.forEach(function (row) {
        var item = document.createElement("li"), a = document.createElement("a"), words = document.createElement("span");
        a.className = "title"; a.dir = words.dir = "auto"; a.href = noted.dataset.root + row.href; a.target = "_blank"; a.rel = "noopener"; a.textContent = row.title;
        words.className = "small"; words.textContent = " " + row.words;
        item.appendChild(a); item.appendChild(words); items.appendChild(item);
      });
      noted.appendChild(head); noted.appendChild(items);
    }).catch(function () {});
  }
  ["input", "change", "click", "keyup"].forEach(function (kind) { form.addEventListener(kind, function () { clearTimeout(soon); soon = setTimeout(look, 300); }); });
  look();

  // title: Enter goes on; client: a list to choose from, by arrow keys too
  var title = by("f-title");
  form.addEventListener("keydown", function (e) {
    if (e.key !== "Enter" || e.target.tagName !== "INPUT" || /checkbox|radio/.test(e.target.type)) { return; }
    e.preventDefault();
    if (e.target === who && !list.hidden) { pick(marked < 0 ? 0 : marked); return; }
    if (narrow.matches) { if (e.target !== title || title.value.trim()) { step(1); } }
    else if (e.target === title) { who.focus(); }
  });
  if (!narrow.matches) { title.focus({ preventScroll: true }); }
  var who = by("f-client"), people = all("#people option").map(function (o) { return { name: o.value, code: o.dataset.code, last: o.dataset.last }; });
  var list = document.createElement("ul"), marked = -1, shown = [];
  who.removeAttribute("list");
  list.id = "client-list"; list.hidden = true; list.setAttribute("role", "listbox"); list.setAttribute("aria-label", phrases.clients);
  who.parentNode.appendChild(list);
  who.setAttribute("role", "combobox"); who.setAttribute("aria-autocomplete", "list"); who.setAttribute("aria-expanded", "false"); who.setAttribute("aria-controls", "client-list");
  function codeOf(name) {
    var chosen = by("f-client-code").value, plain = name.trim().toLowerCase();
    if (!plain) { return ""; }
    if (chosen) { return chosen; }
    var hit = people.filter(function (p) { return p.name.toLowerCase() === plain || p.code.toLowerCase() === plain; });
    return hit.length === 1 ? hit[0].code : who.dataset.new;
  }
  function pick(at) {
    var p = shown[at];
    if (!p) { return; }
    who.value = p.name; by("f-client-code").value = p.isNew ? "" : p.code;
    close(); refresh(who.closest(".q")); step(1);
  }
  function close() { list.hidden = true; marked = -1; who.setAttribute("aria-expanded", "false"); who.removeAttribute("aria-activedescendant"); }
  function mark(at) {
    marked = at;
    all("li", list).forEach(function (li, i) { li.setAttribute("aria-selected", String(i === at)); });
    if (at >= 0) { who.setAttribute("aria-activedescendant", "client-" + at); } else { who.removeAttribute("aria-activedescendant"); }
  }
  who.addEventListener("input", function () {
    var typed = who.value.trim().toLowerCase();
    by("f-client-code").value = "";
    list.textContent = "";
    shown = typed ? people.filter(function (p) { return p.name.toLowerCase().split(/[ -]/).some(function (w) { return w.indexOf(typed) === 0; }) || p.name.toLowerCase().indexOf(typed) === 0 || p.code.toLowerCase().indexOf(typed) === 0; }).slice(0, 4) : [];
    if (typed && !shown.some(function (p) { return p.name.toLowerCase() === typed; })) { shown = shown.concat({ name: who.value.trim(), code: who.dataset.new, isNew: true }); }
    shown.forEach(function (p, i) {
      var li = document.createElement("li"), words = document.createElement("span"), code = document.createElement("code");
      li.id = "client-" + i; li.setAttribute("role", "option"); li.setAttribute("aria-selected", String(i === 0));
      words.textContent = p.isNew ? phrases.newClient.replace("{name}", p.name) : p.name; code.textContent = p.code + (p.last ? ", " + p.last : ""); code.className = "soft";
      li.appendChild(words); li.appendChild(code);
      li.addEventListener("pointerdown", function (e) { e.preventDefault(); });
      li.addEventListener("click", function () { pick(i); });
      list.appendChild(li);
    });
    list.hidden = !shown.length;
    who.setAttribute("aria-expanded", String(!list.hidden));
    mark(shown.length ? 0 : -1);
  });
  who.addEventListener("keydown", function (e) {
    if (e.key === "Escape") { close(); }
    if ((e.key === "ArrowDown" || e.key === "ArrowUp") && !list.hidden) { e.preventDefault(); mark((marked + (e.key === "ArrowDown" ? 1 : -1) + shown.length) % shown.length); }
  });
  who.addEventListener("blur", function () { window.setTimeout(close, 100); });

  // the figure answers to a touch; the field beside it says the same
  var figure = by("figure"), place = by("f-place"), near = by("near"), whole = by("whole"), parts = all(".touch", figure), small = all(".touch:not(.touch--whole)", figure);
  function wordsOf(p) { var g = p.parentNode.dataset; return g.words + (p.dataset.side === "centre" ? "" : ", " + phrases[p.dataset.side]); }
  function said(words) { return words.charAt(0).toUpperCase() + words.slice(1); }
  function placed() { var t = place.value.trim().toLowerCase(); return parts.filter(function (p) { return wordsOf(p).toLowerCase() === t; })[0]; }
  function placeLines() {
    var p = placed();
    if (!place.value.trim()) { return ""; }
    if (!p) { return "region = " + quoted(place.value.trim()); }
    return "region = " + quoted(p.parentNode.dataset.id) + (p.dataset.side === "centre" ? "" : "\nside = " + quoted(p.dataset.side));
  }
  function show() {
    var p = placed();
    parts.forEach(function (o) { o.classList.toggle("is-marked", !!p && o.parentNode === p.parentNode && o.dataset.side === p.dataset.side); });
    text(by("place-out"), p ? wordsOf(p) : place.value || by("place-out").dataset.empty);
  }
  place.addEventListener("input", function () { show(); near.textContent = ""; });
  function middle(p) { var b = p.getBBox(); return [b.x + b.width / 2, b.y + b.height / 2]; }
  function take(p) { place.value = wordsOf(p); show(); one(".asked", place.closest(".q")).textContent = ""; refresh(place.closest(".q")); }
  figure.addEventListener("click", function (e) {
    var at = new DOMPoint(e.clientX, e.clientY).matrixTransform(figure.getScreenCTM().inverse()), hit = e.target.closest(".touch"), best = 60;
    function far(p) { var m = middle(p); return Math.hypot(m[0] - at.x, m[1] - at.y); }
    if (!hit) { small.forEach(function (p) { var d = far(p); if (d < best) { best = d; hit = p; } }); }
    if (!hit) { return; }
    take(hit);
    var seen = {}; near.textContent = "";
    small.map(function (p) { return [p === hit ? -1 : far(p), p]; }).sort(function (a, b) { return a[0] - b[0]; }).some(function (pair) {
      var words = wordsOf(pair[1]), b = document.createElement("button");
      if (seen[words]) { return false; }
      seen[words] = 1;
      b.type = "button"; b.className = "ans"; b.textContent = words; b.setAttribute("aria-pressed", String(pair[1] === hit));
      b.addEventListener("click", function () { take(pair[1]); all(".ans", near).forEach(function (o) { o.setAttribute("aria-pressed", String(o === b)); }); });
      near.appendChild(b);
      return Object.keys(seen).length === 3;
    });
    if (narrow.matches && figure.getAttribute("viewBox") === figure.dataset.whole) {
      figure.setAttribute("viewBox", [Math.max(0, Math.min(600, at.x - 140)), Math.max(24, Math.min(586, at.y - 132)), 280, 264].join(" "));
      figure.parentNode.classList.add("zoomed"); whole.hidden = false;
    }
  });
  whole.addEventListener("click", function () { figure.setAttribute("viewBox", figure.dataset.whole); figure.parentNode.classList.remove("zoomed"); whole.hidden = true; });

  // publish: what will happen follows from the answers
  function outcome() {
    var will = by("will"), yes = one("#q-publish input[name=publish]:checked"), lines = [];
    will.hidden = !yes; will.textContent = "";
    if (!yes) { return; }
    if (yes.value !== "yes") { lines.push(phrases.stays); }
    else {
      var release = one("#q-release input[name=release]:checked"), refs = all('[id^="q-ref-"]', form), person = one("#q-person input[name=person]:checked");
      var held = refs.map(waitsFor).filter(Boolean);
      var drawnFrom = refs.some(function (q) { return !one('input[value="looked-at"]:checked', q); }), who = one("#q-person input[name=somebody]:checked"), other = person && person.value === "somebody" && (who ? who.value : "unknown");
      if (!person && drawnFrom) { held.push(phrases.person); }
      if (other === "unknown") { held.push(person.dataset.holds); }
      if (other === "public-figure") { held.push(phrases.known); }
      if (other === "minor") { lines.push("!" + phrases.child); }
      if (!release || release.dataset.yes !== "1") { lines.push("!" + phrases.notYet); }
      if (held.length) { lines.push("!" + phrase(held.length === 1 ? "waitsForOne" : "waitsFor", { number: held.length, held: held.join("; ") })); }
      if (!lines.length) { lines.push(phrases.stands); }
      lines.push(phrase("shown", { photos: will.dataset.shown }), phrases.never);
    }
    lines.forEach(function (l) { var p = document.createElement("p"); if (l.charAt(0) === "!") { p.className = "mark mark--act"; l = l.slice(1); } p.textContent = l; will.appendChild(p); });
  }

  // one question after the other: the phone
  var qs = all(".q[data-step]", form), at = 0, bar = one(".steps-bar"), head = one(".steps-head"), next = by("next");
  function label() {
    var q = qs[at], last = at === qs.length - 1, is = q.classList.contains("is-given");
    text(next, last ? next.dataset.last : is ? phrases.next : q.hasAttribute("data-must") ? phrases.title : phrases.leave);
    next.classList.toggle("btn--ink", last || is);
  }
  function step(move) {
    if (!narrow.matches) { return; }
    if (move > 0 && at === qs.length - 1) { if (move === 1 && document.activeElement === next) { form.requestSubmit(); } return; }
    if (move > 0 && qs[at].hasAttribute("data-must") && !title.value.trim()) { title.focus(); return; }
    var said = move > 0 ? one(".writes", qs[at]).textContent : "";
    text(by("last"), said || by("last").dataset.default);
    at = Math.max(0, Math.min(qs.length - 1, at + move));
    qs.forEach(function (q, i) { q.classList.toggle("now", i === at); });
    text(by("where"), phrase("step", { at: at + 1, number: qs.length }));
    by("way-fill").setAttribute("width", String(360 * (at + 1) / qs.length));
    by("go-back").disabled = at === 0;
    label(); window.scrollTo(0, 0);
    if (move) { var field = one("input:not([type=hidden]):not([type=radio]):not([type=checkbox])", qs[at]); if (at < 2 && field) { field.focus(); } else { var h = one(".q-h", qs[at]); h.tabIndex = -1; h.focus({ preventScroll: true }); } }
  }
  function arrange() {
    document.body.classList.toggle("steps", narrow.matches);
    bar.hidden = head.hidden = !narrow.matches;
    if (narrow.matches) { step(0); }
  }
  next.addEventListener("click", function () { next.focus(); step(1); });
  by("go-back").addEventListener("click", function () { step(-1); });
  narrow.addEventListener("change", arrange);
  arrange();
  qs.forEach(refresh);
  show();
}());
