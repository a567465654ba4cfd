// The archive's pages from disk: showing what is found, narrowing, sorting, switching. Without it every page still reads.
(function () {
  "use strict";

  function all(query, root) { return Array.prototype.slice.call((root || document).querySelectorAll(query)); }
  function byId(id) { return document.getElementById(id); }
  function show(element) { if (element) { element.hidden = false; } }
  function press(button) {
    all("button", button.parentNode).forEach(function (other) { other.setAttribute("aria-pressed", String(other === button)); });
  }

  var fold = ArchiveSearch.fold, wordsOf = ArchiveSearch.wordsOf, say = ArchiveSearch.say, sayCount = ArchiveSearch.sayCount;

  // What the four kinds of answers are called.
  var KINDS = { piece: say("piece"), stencil: say("stencil"), client: say("client"), batch: say("batch") };

  // Scripts with the parts of a list, each loaded once, when it is wanted; `done` gets their values in order.
  var parts = Object.create(null);
  function load(paths, done) {
    var missing = paths.filter(function (path) { return !(path in parts); }), left = missing.length;
    function ready() { done(paths.map(function (path) { return parts[path]; })); }
    if (!left) { ready(); return; }
    missing.forEach(function (path) {
      var script = document.createElement("script");
      script.src = path;
      // The event comes right after the script has run, before any other runs.
      script.onload = function () { parts[path] = window.ARCHIVE_PART; script.remove(); left -= 1; if (!left) { ready(); } };
      script.onerror = function () { tooOld(); };
      document.head.appendChild(script);
    });
  }
  function tooOld() { tell(say("This page is older than the archive. Load it again.")); }
  function tell(text) { all("[role=status]").slice(0, 1).forEach(function (status) { status.textContent = text; status.hidden = false; }); }

  function today() { var now = new Date(); return now.getFullYear() * 10000 + (now.getMonth() + 1) * 100 + now.getDate(); }

  // The best answers to a question, as one types: names at once, what else is shown of them as soon as it is loaded.
  function startAnswers(search, most) {
    var list = byId("answers"), said = byId("said"), asked = 0;
    function element(name, className, text) {
      var made = document.createElement(name);
      if (className) { made.className = className; }
      if (text) { made.textContent = text; }
      return made;
    }
    function put(holder, cut) {
      cut.forEach(function (part) { holder.appendChild(part[1] ? element("mark", "", part[0]) : document.createTextNode(part[0])); });
      return holder;
    }
    function row(result, answer) {
      var item = element("li", "answer"), link = element("a", "answer-link"), words = element("span", "answer-words");
      link.href = search.hrefOf(answer);
      link.appendChild(element("span", "answer-pic"));
      words.appendChild(element("span", "answer-kind", KINDS[search.kindOf(answer)]));
      words.appendChild(put(element("b", "answer-name"), search.nameShown(result, answer)));
      link.appendChild(words);
      item.appendChild(link);
      return item;
    }
    function mark(said, asks) {
      var made = element("span", asks ? "mark mark--act" : "mark");
      made.innerHTML = '<svg aria-hidden="true" focusable="false"><use href="#check-stop"></use></svg>';
      made.appendChild(element("span", "", said));
      return made;
    }
    function fill(item, result, shown) {
      var words = item.querySelector(".answer-words"), pic = item.querySelector(".answer-pic"), image, print;
      if (shown.picture) {
        image = element("img");
        image.src = shown.picture[0]; image.width = shown.picture[1]; image.height = shown.picture[2]; image.alt = "";
        pic.appendChild(image);
        if (shown.drawing) { pic.classList.add("tissue"); }
      }
      words.appendChild(element("span", "answer-facts", shown.facts));
      if (shown.recall) { words.appendChild(mark(shown.recall[0], shown.recall[1])); }
      search.linesShown(result, shown.lines).forEach(function (line) {
        var told = element("span", "answer-line");
        told.appendChild(element("span", "soft", line[0] + " "));
        words.appendChild(put(told, line[1]));
      });
      if (shown.print) {
        print = element("a", "btn btn--print", shown.print[1]);
        print.href = shown.print[0];
        print.setAttribute("aria-label", shown.print[1] + ": " + item.querySelector(".answer-name").textContent);
        item.appendChild(print);
      }
    }
    // "3 answers: 1 piece, 2 stencils".
    function told(result) {
      var counts = search.counts(result), total = result.ranked.length, kinds = [
        sayCount("{number} piece", "{number} pieces", counts[0]), sayCount("{number} stencil", "{number} stencils", counts[1]),
        sayCount("{number} client", "{number} clients", counts[2]), sayCount("{number} batch", "{number} batches", counts[3])
      ];
      if (!total) { return ""; }
      return sayCount("{number} answer: {kinds}.", "{number} answers: {kinds}.", total, { kinds: kinds.filter(function (_, at) { return counts[at]; }).join(", ") });
    }
    list.addEventListener("keydown", function (event) {
      var step = event.key === "ArrowDown" ? 1 : event.key === "ArrowUp" ? -1 : 0, links = all(".answer-link", list), at;
      if (!step) { return; }
      event.preventDefault();
      at = links.indexOf(event.target.closest("li").firstChild) + step;
      (links[at] || (at < 0 ? byId("q") : links[links.length - 1])).focus();
    });
    // Show the answers to a question that was asked; null takes them away.
    return function (result) {
      var ask = asked += 1, best = result ? search.best(result, most) : [], rows;
      list.hidden = !best.length;
      said.textContent = !result ? "" : [result.said, told(result)].join(" ").trim() || say("Nothing found for these words.");
      said.hidden = !said.textContent;
      rows = best.map(function (one) { return row(result, one[0]); });
      list.replaceChildren.apply(list, rows);
      var index = search.index, wanted = best.map(function (one) { return index.parts[Math.floor(one[0] / index.perPart)]; });
      load(wanted, function (loaded) {
        if (ask !== asked) { return; }
        best.forEach(function (one, at) { fill(rows[at], result, loaded[at][one[0] % index.perPart]); });
      });
    };
  }

  var ANSWERS = 8;
  function startList(data) {
    var query = byId("q"), order = byId("order");
    var holder = byId("cards"), count = byId("count"), chips = byId("chips"), more = byId("more"), nothing = byId("nothing");
    var total = data.choices.length, shown = data.perPage, search = null, answers = null, result = null, waiting, isOrdered = false, matches = [], asked = 0, focusOn = null;
    var groups = all("#narrow [data-group]").map(function (element) {
      var seek = all("[data-seek]", element)[0];
      return {
        element: element, words: element.getAttribute("data-group"), boxes: all("input[type=checkbox]", element),
        seek: seek, sought: seek ? data.sought[seek.dataset.seek] : []
      };
    });
    var has = data.choices.map(function (choices) { return new Set(choices); });
    var whole = holder.innerHTML;

    var own = all(".card", holder).map(function (card) { return card.outerHTML; });
    function eachBox(use) { groups.forEach(function (group) { group.boxes.forEach(use); }); }

    // A choice out of very many has its row only while it is sought or chosen.
    function row(group, choice) {
      var label = document.createElement("label"), box = document.createElement("input"), item = document.createElement("li");
      label.className = "choice";
      label.innerHTML = '<span dir="auto"></span><span class="n"></span>';
      box.type = "checkbox"; box.value = choice[1]; box.dataset.n = choice[0];
      label.firstChild.textContent = choice[2];
      label.insertBefore(box, label.firstChild);
      item.appendChild(label);
      group.element.querySelector("ul").insertBefore(item, group.seek);
      group.boxes.push(box);
      return box;
    }
    function hasRow(group, choice) { return group.boxes.some(function (box) { return box.value === choice[1]; }); }
    function seek(group) {
      var typed = all("input", group.seek)[0].value, terms = wordsOf(typed), said = all("[role=status]", group.seek)[0];
      group.boxes = group.boxes.filter(function (box, place) {
        var stays = place < data.atOnce || box.checked;
        if (!stays) { box.closest("li").remove(); }
        return stays;
      });
      var found = terms.length ? group.sought.filter(function (choice) {
        var words = fold(choice[2]);
        return terms.every(function (term) { return words.includes(term); }) && !hasRow(group, choice);
      }) : [];
      found.slice(0, data.atOnce).forEach(function (choice) { row(group, choice); });
      said.textContent = !terms.length ? "" : found.length ? (found.length > data.atOnce ? say("{found} found, {shown} shown", { found: found.length, shown: data.atOnce }) : say("{found} found", { found: found.length })) : say("None with these letters");
      if (found.length) { recount(); }
    }

    function numbers(group) {
      return group.boxes.filter(function (box) { return box.checked; }).map(function (box) { return Number(box.dataset.n); });
    }
    // A rule with two stops, of millimetres or of months: both at their ends stand for any.
    function startRule(name, values, words) {
      var stops = [byId(name + "-from"), byId(name + "-to")], said = byId(name + "-said"), any = said && said.textContent;
      if (!stops[0]) { return null; }
      var first = Number(stops[0].min), last = Number(stops[1].max);
      // Asked of every card: so it is read from the stops only when they move.
      var at = [];
      function read() { at = stops.map(function (stop) { return Number(stop.value); }); }
      var rule = {
        name: name,
        range: function () { return at; },
        isSet: function () { return at[0] > first || at[1] < last; },
        set: function (from, to) { stops[0].value = from; stops[1].value = to; read(); },
        reset: function () { rule.set(first, last); },
        words: function () { return rule.isSet() ? words(at[0], at[1], first, last) : any; },
        fits: function (card) {
          var value = values[card];
          return !rule.isSet() || (value !== null && value >= at[0] && (at[1] === last || value <= at[1]));
        },
        say: function () {
          said.textContent = rule.words();
          stops.forEach(function (stop) { stop.setAttribute("aria-valuetext", words(Number(stop.value), Number(stop.value))); });
        }
      };
      stops.forEach(function (stop, moved) {
        stop.addEventListener("input", function () {
          read();
          if (at[0] > at[1]) { rule.set(at[moved], at[moved]); }
          narrow();
        });
      });
      read();
      return rule;
    }
    var MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
    function month(number) {
      var year = Math.floor(number / 12), words = ArchiveSearch.said.months;
      return words ? words[number % 12].replace("{year}", year) : MONTHS[number % 12] + " " + year;
    }
    function sizeWords(from, to, first, last) {
      return to === last ? say("{from} mm and over", { from: from }) : from === to ? from + " mm" : from > first ? say("{from} to {to} mm", { from: from, to: to }) : say("up to {to} mm", { to: to });
    }
    function monthWords(from, to, first, last) {
      return from === to ? month(from) : to === last ? say("{from} and later", { from: month(from) }) : from > first ? say("{from} to {to}", { from: month(from), to: month(to) }) : say("up to {to}", { to: month(to) });
    }
    var rules = [startRule("size", data.sizes, sizeWords), startRule("month", data.months, monthWords)].filter(Boolean);
    var RULE_WORDS = { size: say("Size:") + " ", month: say("Finished:") + " " };
    function fitsRules(card) { return rules.every(function (rule) { return rule.fits(card); }); }
    function resetRules() { rules.forEach(function (rule) { rule.reset(); }); }

    // The body figure: touching a place ticks it in the list below, which says the same in words.
    var SVG = "http://www.w3.org/2000/svg", touched = [];
    function drawFigure(holder) {
      var group = groups.find(function (one) { return one.element.contains(holder); }), figure = document.createElementNS(SVG, "svg");
      var drawing = document.createElementNS(SVG, "image"), box = data.box.split(" ");
      figure.setAttribute("viewBox", data.box); figure.setAttribute("class", "figure"); figure.setAttribute("aria-hidden", "true");
      ["x", "y", "width", "height"].forEach(function (name, at) { drawing.setAttribute(name, box[at]); });
      drawing.setAttribute("href", holder.dataset.drawing);
      figure.appendChild(drawing);
      Object.keys(data.places).forEach(function (key) {
        var place = document.createElementNS(SVG, "g"), title = document.createElementNS(SVG, "title");
        place.setAttribute("class", "place"); place.appendChild(title);
        data.places[key].forEach(function (outline) {
          var path = document.createElementNS(SVG, "path");
          path.setAttribute("d", outline); place.appendChild(path);
        });
        place.addEventListener("click", function () {
          var box = boxOf(group, key) || row(group, group.sought.find(function (choice) { return choice[1] === key; }));
          box.checked = !box.checked; show(box.closest("li")); narrow();
        });
        touched.push({ group: group, key: key, place: place, title: title });
        figure.appendChild(place);
      });
      holder.appendChild(figure); show(holder);
    }
    function boxOf(group, key) { return group.boxes.find(function (box) { return box.value === key; }); }
    function drawPlaces() {
      touched.forEach(function (one) {
        var box = boxOf(one.group, one.key);
        one.place.classList.toggle("is-marked", Boolean(box && box.checked));
        if (box) { one.title.textContent = box.nextElementSibling.textContent + ", " + box.parentNode.lastElementChild.textContent; }
      });
    }

    function fits(card, chosen) { return !chosen.length || chosen.some(function (n) { return has[card].has(n); }); }

    function state() {
      var parts = [];
      if (query.value.trim()) { parts.push("q=" + encodeURIComponent(query.value.trim())); }
      eachBox(function (box) { if (box.checked) { parts.push("f=" + encodeURIComponent(box.value)); } });
      rules.forEach(function (rule) { if (rule.isSet()) { parts.push(rule.name + "=" + rule.range().join("-")); } });
      if (isOrdered) { parts.push("order=" + order.value); }
      return parts.join("&");
    }
    function keepState() {
      var text = state();
      try { history.replaceState(null, "", text ? "#" + text : location.pathname + location.search); } catch (error) { /* from disk some browsers refuse */ }
    }
    function readState() {
      location.hash.slice(1).split("&").forEach(function (part) {
        var at = part.indexOf("="), key = part.slice(0, at), value;
        try { value = decodeURIComponent(part.slice(at + 1)); } catch (error) { return; }
        if (key === "q") { query.value = value; }
        rules.forEach(function (rule) { if (key === rule.name) { rule.set.apply(null, value.split("-")); } });
        if (key === "order") { isOrdered = true; order.value = value; if (order.selectedIndex < 0) { order.selectedIndex = 0; } }
        if (key === "f") {
          groups.forEach(function (group) {
            group.sought.forEach(function (choice) { if (choice[1] === value && !hasRow(group, choice)) { row(group, choice); } });
          });
          eachBox(function (box) { if (box.value === value) { box.checked = true; } });
        }
      });
    }

    // The cards of these numbers, from the page itself or from the parts they lie in.
    function cardsOf(cards, done) {
      function part(card) { return Math.floor(card / data.perPage); }
      var wanted = data.parts.length ? Array.from(new Set(cards.map(part))) : [];
      load(wanted.map(function (number) { return data.parts[number]; }), function (loaded) {
        done(cards.map(function (card) { return data.parts.length ? loaded[wanted.indexOf(part(card))][card % data.perPage] : own[card]; }));
      });
    }
    var drawn = whole;
    function draw() {
      var isWhole = matches.length === total && !result && order.selectedIndex < 1 && shown <= data.perPage, ask = asked += 1;
      function put(wanted) {
        if (ask !== asked) { return; }
        if (drawn !== wanted) { holder.innerHTML = wanted; drawn = wanted; }
        var next = focusOn === null ? null : all(".card h2 a", holder)[focusOn];
        if (next) { next.focus(); }
        focusOn = null;
      }
      if (isWhole) { put(whole); } else { cardsOf(matches.slice(0, shown), function (cards) { put(cards.join("")); }); }
      var visible = Math.min(shown, matches.length);
      var found = matches.length < total, part = visible < matches.length;
      var told = { found: matches.length, shown: visible, total: total, said: order.options[order.selectedIndex].dataset.said };
      if (!matches.length) { count.textContent = say("None of {total} shown", told); }
      else if (found && part) { count.textContent = say("{found} of {total} found, {shown} shown, {said}", told); }
      else { count.textContent = visible === total ? say("All {total} shown, {said}", told) : say("{shown} of {total} shown, {said}", told); }
      byId("show-found").textContent = matches.length ? say("Show {found} of {total}", told) : say("Nothing has all of this");
      // What the answers above show already is not shown twice; where they say that there is nothing, nothing more is said.
      var above = result ? search.best(result, ANSWERS).map(function (one) { return one[0] - search.startOf(data.kind); }) : [];
      holder.hidden = matches.length > 0 && matches.every(function (card) { return above.includes(card); });
      nothing.hidden = matches.length > 0 || Boolean(result && !result.ranked.length);
      more.hidden = visible >= matches.length;
      more.firstElementChild.textContent = say("Show {number} more", { number: Math.min(data.perPage, matches.length - visible) });
    }

    function drawChips(chosen) {
      chips.textContent = "";
      function chip(words, remove) {
        var button = document.createElement("button");
        button.type = "button"; button.className = "chip";
        button.innerHTML = '<span></span><svg aria-hidden="true" focusable="false"><use href="#cross"></use></svg><span class="away"></span>';
        button.lastElementChild.textContent = say(", remove");
        button.firstElementChild.textContent = words;
        button.addEventListener("click", function () { remove(); ask(); (chips.querySelector("button") || query).focus(); });
        chips.appendChild(button);
      }
      if (query.value.trim()) { chip(say("Words:") + " " + query.value.trim(), function () { query.value = ""; }); }
      rules.forEach(function (rule) { if (rule.isSet()) { chip(RULE_WORDS[rule.name] + rule.words(), rule.reset); } });
      groups.forEach(function (group, i) {
        var on = group.boxes.filter(function (box) { return box.checked; });
        var words = on.map(function (box) { return box.nextElementSibling.textContent; }).join(", ");
        all("[data-chosen]", group.element)[0].textContent = words;
        if (chosen[i].length) { chip(group.words + ": " + words, function () { on.forEach(function (box) { box.checked = false; }); }); }
      });
      if (chips.firstChild) {
        var reset = document.createElement("button");
        reset.type = "button"; reset.className = "plain"; reset.textContent = say("Show all {total}", { total: total });
        reset.addEventListener("click", clear);
        chips.appendChild(reset);
      }
      chips.hidden = !chips.firstChild;
    }
    function clear() { query.value = ""; resetRules(); eachBox(function (box) { box.checked = false; }); ask(); query.focus(); }

    // Each choice counts the cards it would leave, all other groups staying as they are; `near` is what the words and rules leave.
    function drawCounts(near, chosen) {
      function count(cards) {
        var counts = Object.create(null);
        cards.forEach(function (card) { data.choices[card].forEach(function (n) { counts[n] = (counts[n] || 0) + 1; }); });
        return counts;
      }
      var left = count(matches);
      groups.forEach(function (group, i) {
        // Where nothing is chosen the others leave what is shown.
        var counts = chosen[i].length ? count(near.filter(function (card) {
          return chosen.every(function (ch, k) { return k === i || fits(card, ch); });
        })) : left;
        group.boxes.forEach(function (box) {
          var n = counts[box.dataset.n] || 0, row = box.parentNode;
          row.lastElementChild.textContent = n;
          row.classList.toggle("choice--none", !n && !box.checked);
        });
      });
    }

    // The cards a question finds, the best first; all in their own order when nothing is asked.
    function cardsFound() {
      var first = search && search.startOf(data.kind);
      if (!result) { return data.choices.map(function (_, card) { return card; }); }
      return search.sorted(result, function (answer) { return answer >= first && answer < first + total; })
        .map(function (one) { return one[0] - first; });
    }
    function ready(then) {
      load(["data/search.js", "data/phrases.js"], function (loaded) {
        var kind = data.kind === "piece" ? 0 : 1;
        if (loaded[0].counts[kind] !== total) { tooOld(); return; }
        if (!search) { search = new ArchiveSearch(loaded[0], loaded[1]); answers = startAnswers(search, ANSWERS); }
        then();
      });
    }
    // Answer what is asked. While one types the answers come at once; the cards below follow when the typing rests.
    function ask(isTyping) {
      if (!search && !query.value.trim()) { narrow(); return; }
      ready(function () {
        result = query.value.trim() ? search.answer(query.value, today(), data.kind === "stencil") : null;
        answers(result);
        clearTimeout(waiting);
        if (isTyping) { waiting = setTimeout(narrow, 120); } else { narrow(); }
      });
    }
    // While something is asked the first order is that of the answers.
    function offerBest() {
      var best = order.querySelector("[value=best]");
      if (result && !best) {
        best = document.createElement("option");
        best.value = "best"; best.textContent = say("Best answer first"); best.dataset.said = say("best answer first");
        order.insertBefore(best, order.firstChild);
        if (!isOrdered) { order.selectedIndex = 0; }
      } else if (!result && best) { best.remove(); }
    }

    function nearCards() { return cardsFound().filter(fitsRules); }
    function recount() { drawCounts(nearCards(), groups.map(numbers)); }
    function narrow() {
      offerBest();
      var near = nearCards(), chosen = groups.map(numbers), ranks = data.ranks[order.value];
      matches = near.filter(function (card) { return chosen.every(function (ch) { return fits(card, ch); }); });
      if (ranks) { matches.sort(function (a, b) { return ranks[a] - ranks[b]; }); }
      shown = data.perPage;
      rules.forEach(function (rule) { rule.say(); });
      draw(); drawChips(chosen); drawCounts(near, chosen); drawPlaces(); keepState();
    }

    show(byId("search"));
    if (byId("places") && Object.keys(data.places).length) { drawFigure(byId("places")); drawPlaces(); }
    // On a phone what is found lies below: one touch leads there.
    byId("show-found").addEventListener("click", function () {
      byId("narrow").open = window.matchMedia("(min-width: 68rem)").matches;
      byId("count").scrollIntoView({ block: "center" }); all("h1")[0].setAttribute("tabindex", "-1"); all("h1")[0].focus({ preventScroll: true });
    });
    all("[data-pages]").forEach(function (pages) { pages.hidden = true; });
    byId("narrow").addEventListener("change", function (event) { if (event.target.type === "checkbox") { narrow(); } });
    groups.forEach(function (group) {
      if (group.seek) { all("input", group.seek)[0].addEventListener("input", function () { seek(group); }); }
    });
    order.addEventListener("change", function () { isOrdered = order.value !== "best"; narrow(); });
    query.addEventListener("input", function () { ask(true); });
    query.addEventListener("focus", function () { holder.classList.add("is-beneath"); ready(function () {}); });
    query.addEventListener("blur", function () { holder.classList.remove("is-beneath"); });
    query.addEventListener("keydown", function (event) {
      var first = all(".answer-link", byId("answers"))[0];
      if (event.key === "Escape") { query.value = ""; ask(); }
      if (event.key === "Enter" && first) { event.preventDefault(); keepState(); first.click(); }
      if (event.key === "ArrowDown" && first) { event.preventDefault(); first.focus(); }
    });
    more.firstElementChild.addEventListener("click", function () {
      focusOn = shown;
      shown += data.perPage;
      draw();
    });
    // More cards come as one scrolls near the end of those there are.
    new IntersectionObserver(function (seen) {
      if (seen[0].isIntersecting && !more.hidden && window.scrollY > 0) { shown += data.perPage; draw(); }
    }, { rootMargin: "800px" }).observe(more);
    all("[data-all]").forEach(function (button) { button.addEventListener("click", clear); });
    all("[data-more]").forEach(function (row) {
      row.firstElementChild.addEventListener("click", function () {
        var rows = all("li[hidden]", row.parentNode);
        rows.forEach(show); row.remove();
        if (rows.length) { all("input", rows[0])[0].focus(); }
      });
    });
    window.addEventListener("hashchange", function () { eachBox(function (box) { box.checked = false; }); query.value = ""; resetRules(); readState(); ask(); });
    readState();
    if (location.hash === TO_SEARCH) { query.focus(); }
    if (state()) {
      eachBox(function (box) { if (box.checked) { show(box.closest("li")); } });
      ask();
    } else {
      matches = data.choices.map(function (_, card) { return card; }); draw();
      rules.forEach(function (rule) { rule.say(); });
    }
  }

  // One of several views: buttons, or number keys from `key` on.
  function startSwitch(bar, shown, key) {
    var buttons = all("[data-set]", bar);
    show(bar);
    buttons.forEach(function (button) {
      button.addEventListener("click", function () {
        press(button);
        shown.forEach(function (element) { element.setAttribute("data-view", button.dataset.set); });
      });
    });
    document.addEventListener("keydown", function (event) {
      if (event.ctrlKey || event.metaKey || event.altKey || /INPUT|TEXTAREA|SELECT/.test(event.target.tagName)) { return; }
      var button = buttons[Number(event.key) - key];
      if (button) { button.click(); }
    });
  }

  // Two pictures laid on each other as one: a slider is the line between them.
  function startDivider(over) {
    var slider = all("input", over)[0];
    function move() {
      over.style.setProperty("--at", slider.value / 100);
      slider.setAttribute("aria-valuetext", slider.value + " % " + over.dataset.left + ", " + (100 - slider.value) + " % " + over.dataset.right);
    }
    slider.addEventListener("input", move);
    move();
  }
  function startInk(button) {
    show(button);
    button.addEventListener("click", function () {
      var isOn = button.getAttribute("aria-pressed") !== "true";
      button.setAttribute("aria-pressed", String(isOn));
      all("[data-ink]").forEach(function (ink) { ink.hidden = !isOn; });
    });
  }

  // Pictures laid over each other. A pair is put on its stage when it comes near: the pictures of a hundred groups are many.
  function startLays(groups) {
    var lays = groups.map(function (group) {
      var lay = all("[data-lay]", group)[0], stage = all(".laid", lay)[0], pairs = all("template", lay), second = all("[data-second]", lay)[0];
      var buttons = all("[data-set]", lay), shown = null;
      function draw() {
        var wanted = pairs[second ? Number(second.value) : 0];
        if (shown !== wanted) { stage.replaceChildren(wanted.content.cloneNode(true)); shown = wanted; }
      }
      show(lay);
      buttons.forEach(function (button) {
        button.addEventListener("click", function () { press(button); draw(); stage.setAttribute("data-view", button.dataset.set); });
      });
      if (second) { second.addEventListener("change", draw); }
      return { group: group, buttons: buttons, draw: draw };
    });
    var watch = new IntersectionObserver(function (seen) {
      seen.forEach(function (entry) {
        if (entry.isIntersecting) { lays.find(function (lay) { return lay.group === entry.target; }).draw(); watch.unobserve(entry.target); }
      });
    }, { rootMargin: "600px" });
    lays.forEach(function (lay) { watch.observe(lay.group); });
    // The keys 1 to 4 are for the group that has the focus, else for the one in the middle of the window.
    function meant() {
      var middle = window.innerHeight / 2;
      function away(lay) { var box = lay.group.getBoundingClientRect(); return Math.max(box.top - middle, middle - box.bottom, 0); }
      var seen = lays.filter(function (lay) { return !lay.group.hidden; });
      return seen.find(function (lay) { return lay.group.contains(document.activeElement); }) || seen.reduce(function (best, lay) { return !best || away(lay) < away(best) ? lay : best; }, null);
    }
    document.addEventListener("keydown", function (event) {
      if (event.ctrlKey || event.metaKey || event.altKey || /INPUT|TEXTAREA|SELECT/.test(event.target.tagName)) { return; }
      var lay = /^[1-4]$/.test(event.key) && meant();
      if (lay) { lay.buttons[Number(event.key) - 1].click(); }
    });
  }

  // One pair at a time, chosen from the list beside it; the address keeps which.
  function startPairs(list, groups) {
    var links = all("a", list);
    function turn() {
      var wanted = groups.find(function (group) { return "#" + group.id === location.hash; }) || groups[0];
      groups.forEach(function (group) { group.hidden = group !== wanted; });
      links.forEach(function (link) {
        if (link.hash === "#" + wanted.id) { link.setAttribute("aria-current", "true"); } else { link.removeAttribute("aria-current"); }
      });
    }
    all("[data-later]").forEach(show);
    window.addEventListener("hashchange", function () { turn(); window.scrollTo(0, 0); });
    turn();
  }

  // The lines of a decision: choose, copy.
  function startDecision(part) {
    var lines = all("textarea", part)[0], copy = all("[data-copy]", part)[0], said = all("[role=status]", part)[0];
    show(all(".switch", part)[0]); show(copy);
    all("[data-lines]", part).forEach(function (button) {
      button.addEventListener("click", function () { press(button); lines.value = button.dataset.lines; said.textContent = ""; });
    });
    copy.addEventListener("click", function () {
      lines.select();
      var done = false;
      try { done = document.execCommand("copy"); } catch (error) { done = false; }
      said.textContent = done ? say("Copied.") : say("Selected; copy with the keyboard.");
    });
  }

  // Keep the rows whose text has what is typed, of all pages of the list.
  var MOST_ROWS = 100;
  function startFilter(finder, holder) {
    var query = all("input", finder)[0], said = byId("found"), total = Number(finder.dataset.total), pages = all("[data-pages]");
    var own = Array.prototype.slice.call(holder.children), paths = finder.dataset.parts.split(" ").filter(Boolean), rows = null;
    function read(loaded) {
      var made = document.createElement(holder.tagName);
      loaded.forEach(function (part) { made.insertAdjacentHTML("beforeend", part.join("")); });
      return (loaded.length ? Array.prototype.slice.call(made.children) : own).map(function (row) {
        return { row: row, text: fold(row.textContent) };
      });
    }
    function filter() {
      var terms = wordsOf(query.value);
      var found = rows.filter(function (one) { return terms.every(function (term) { return one.text.includes(term); }); });
      var shown = terms.length ? found.slice(0, MOST_ROWS).map(function (one) { return one.row; }) : own;
      holder.replaceChildren.apply(holder, shown);
      said.textContent = !terms.length ? "" : found.length + " of " + total + " found" + (found.length > MOST_ROWS ? ", " + MOST_ROWS + " shown" : "");
      pages.forEach(function (nav) { nav.hidden = terms.length > 0; });
    }
    show(finder);
    query.addEventListener("input", function () {
      load(paths, function (loaded) { rows = rows || read(loaded); filter(); });
    });
  }

  // Keep the questions for those who are chosen.
  function startChecks(boxes) {
    var groups = all("[data-asked]"), said = byId("found"), whole = said.textContent;
    boxes.forEach(function (box) {
      box.addEventListener("change", function () {
        var chosen = boxes.filter(function (b) { return b.checked; }), left = 0;
        groups.forEach(function (group) {
          group.hidden = chosen.length > 0 && !chosen.some(function (b) { return b.dataset.ask === group.dataset.asked; });
          left += group.hidden ? 0 : all(".finding", group).length;
        });
        said.textContent = chosen.length ? left + " shown: " + chosen.map(function (b) { return b.dataset.words; }).join(", ") : whole;
      });
    });
  }

  // "/" leads to the search of the page, else to that of the first page; not away from a form that somebody fills in.
  var TO_SEARCH = "#q=";
  function startSlash() {
    var isFilled = false;
    document.addEventListener("input", function (event) { isFilled = isFilled || Boolean(event.target.form); });
    document.addEventListener("keydown", function (event) {
      var query = byId("q");
      if (event.key !== "/" || event.ctrlKey || event.metaKey || event.altKey || /INPUT|TEXTAREA|SELECT/.test(event.target.tagName)) { return; }
      if (query && !query.closest("[hidden]")) { event.preventDefault(); query.focus(); }
      else if (!isFilled) { event.preventDefault(); location.href = all(".top-name a")[0].href + TO_SEARCH; }
    });
  }

  // A link into a fold opens it.
  function openAimed() {
    var aimed = location.hash.length > 1 && byId(decodeURIComponent(location.hash.slice(1))), fold = aimed && aimed.closest(".fold");
    if (fold && !fold.open) { fold.open = true; aimed.scrollIntoView(); }
  }
  // On a phone the tables fold into a line each; paper has them all.
  if (window.matchMedia("(max-width: 43.99rem)").matches) { all(".work").forEach(function (work) { work.open = false; }); }
  window.addEventListener("beforeprint", function () { all(".work").forEach(function (work) { work.open = true; }); });
  if (all(".fold").length) { openAimed(); window.addEventListener("hashchange", openAimed); }

  // The ledger is open where there is room for it.
  var narrow = byId("narrow");
  if (narrow) {
    show(narrow);
    narrow.open = window.matchMedia("(min-width: 68rem)").matches;
  }
  startSlash();
  if (window.ARCHIVE && byId("cards")) { startList(window.ARCHIVE); }
  if (byId("stages")) { startSwitch(byId("stages"), [byId("compare"), byId("over")].filter(Boolean), 1); }
  all("[data-divider]").forEach(startDivider);
  if (byId("over") && byId("over").hasAttribute("data-first")) { all('#stages [data-set="over"]')[0].click(); }
  if (byId("show-ink")) { startInk(byId("show-ink")); }
  all("[data-views]").forEach(function (bar) { startSwitch(bar, [bar.closest(".changed")], 1); all("button", bar)[0].click(); });
  var list = all(".pairs").filter(function (pairs) { return all('a[href^="#pair-"]', pairs).length; })[0];
  if (list) { startPairs(list, all("[data-double]")); }
  var laid = all("[data-double]").filter(function (group) { return all("[data-lay]", group).length; });
  if (laid.length) { startLays(laid); }
  all("[data-decide]").forEach(startDecision);
  all("[data-finder]").forEach(function (finder) { startFilter(finder, all("[data-filtered]")[0]); });
  if (all("[data-ask]").length) { startChecks(all("[data-ask]")); }
  all("[data-print]").forEach(function (button) { show(button); button.addEventListener("click", function () { window.print(); }); });
}());
