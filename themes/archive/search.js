// Finding by words: what was typed is read as lengths, days, numbers, places and plain words, and the answers are ranked.
// No page is touched here; the archive's pages use it and so does the command on the terminal.
(function (home) {
  "use strict";

  // Words in the page's language, or in what the terminal speaks; English ones stand where they are said.
  var SAID = JSON.parse(home.ARCHIVE_SAID || (home.document && home.document.body.dataset.said) || "{}");
  function filled(words, values) {
    return words.replace(/\{(\w+)\}/g, function (whole, name) { return name in values ? values[name] : whole; });
  }
  function say(words, values) { return filled(SAID[words] || words, values || {}); }
  function sayCount(one, many, number, values) {
    return filled((SAID[one] || [one, many])[number === 1 ? 0 : 1], Object.assign({ number: number }, values));
  }

  var LETTERS = { "ß": "ss", "ø": "o", "æ": "ae", "œ": "oe", "ł": "l", "đ": "d", "ð": "d", "þ": "th", "ħ": "h", "ı": "i", "ŋ": "n", "ŧ": "t" };
  var FILLERS = new Set("a an and at by for from in my of on or that the to was with".split(" "));
  var MONTHS = "jan feb mar apr may jun jul aug sep oct nov dec".split(" ");
  var MONTH = "(jan(?:uary)?|feb(?:ruary)?|mar(?:ch)?|apr(?:il)?|may|june?|july?|aug(?:ust)?|sept?(?:ember)?|oct(?:ober)?|nov(?:ember)?|dec(?:ember)?)\\.?";
  var NUMBER = "(\\d+(?:[.,]\\d+)?)", INCH = "(?:in\\b\\.?|inch(?:es)?\\b|\"|″|'')", UNIT = "(mm\\b|cm\\b|" + INCH + ")";
  var SEASONS = { spring: [3, 5], summer: [6, 8], autumn: [9, 11], fall: [9, 11], winter: [12, 2] };
  // How much a word counts that is not the word typed but begins like it, holds it, is another form of it; how much what is
  // read as more than words counts as mere words, and what a stencil has of its piece.
  var BEGINS = 0.8, HOLDS = 0.5, OTHER_FORM = 0.9, APART = 0.4, OF_PIECE = 0.6;
  // Two words further apart than this are two words.
  function slips(term) { return term.length > 7 ? 2 : 1; }

  // The same words that the index was made of: small letters without accents.
  function fold(text) {
    return text.normalize("NFKD").toLowerCase().replace(/[\u0300-\u036f\u00ad\u200b-\u200f\u2060\ufeff]/g, "")
      .replace(/[ßøæœłđðþħıŋŧ]/g, function (letter) { return LETTERS[letter]; });
  }
  function wordsOf(text) { return fold(text).match(/[\p{L}\p{N}]+/gu) || []; }

  // The number of letters put in, left out, changed, or changed round with their neighbour between two words; at most + 1 when more.
  function distance(one, other, most) {
    if (Math.abs(one.length - other.length) > most) { return most + 1; }
    var before, last = [], row = [], i, j, cost, least;
    for (j = 0; j <= other.length; j += 1) { row[j] = j; }
    for (i = 1; i <= one.length; i += 1) {
      before = last; last = row; row = [i]; least = i;
      for (j = 1; j <= other.length; j += 1) {
        cost = one[i - 1] === other[j - 1] ? 0 : 1;
        row[j] = Math.min(last[j] + 1, row[j - 1] + 1, last[j - 1] + cost);
        if (i > 1 && j > 1 && one[i - 1] === other[j - 2] && one[i - 2] === other[j - 1]) { row[j] = Math.min(row[j], before[j - 2] + 1); }
        least = Math.min(least, row[j]);
      }
      if (least > most) { return most + 1; }
    }
    return row[other.length];
  }

  // ---- What was typed ----

  function day(year, month, date) { return year * 10000 + month * 100 + date; }
  function asDate(number) { return new Date(Date.UTC(Math.floor(number / 10000), Math.floor(number / 100) % 100 - 1, number % 100)); }
  function asNumber(date) { return day(date.getUTCFullYear(), date.getUTCMonth() + 1, date.getUTCDate()); }
  function shifted(number, days) { var date = asDate(number); date.setUTCDate(date.getUTCDate() + days); return asNumber(date); }
  function monthDays(year, first, last) { return [day(year, first, 1), day(last < first ? year + 1 : year, last, 31)]; }
  function monthNumber(word) { return MONTHS.indexOf(word.slice(0, 3)) + 1; }
  function toNumber(text) { return parseFloat(text.replace(",", ".")); }
  function halfPlace(text) { var at = text.search(/[.,]/); return 0.5 / Math.pow(10, at < 0 ? 0 : text.length - at - 1); }
  function length(text, unit) {
    var factor = unit === "mm" ? 1 : unit === "cm" ? 10 : 25.4;
    // Half of the last place that was typed; of whole inches a quarter.
    return { sign: "=", value: toNumber(text) * factor, within: Math.min(halfPlace(text) * factor, 25.4 / 4) };
  }
  function inches(whole, over, under) {
    // A fraction of an inch is read off a rule: to a sixteenth.
    return { sign: "=", value: (Number(whole || 0) + over / under) * 25.4, within: 25.4 / 16 };
  }
  function relativeDays(which, what, today) {
    var year = Math.floor(today / 10000), month = Math.floor(today / 100) % 100, back = which === "last" ? 1 : 0;
    if (what === "year") { return monthDays(year - back, 1, 12); }
    if (what === "month") { return month > back ? monthDays(year, month - back, month - back) : monthDays(year - 1, 12, 12); }
    var monday = shifted(today, -((asDate(today).getUTCDay() + 6) % 7) - 7 * back);
    return [monday, shifted(monday, 6)];
  }

  // Each form: a pattern of the folded text, and what it asks for: lengths or times near a value, both sides of one thing, days from and to, a version.
  function forms(today, years) {
    function everyYear(first, last) { return years.map(function (year) { return monthDays(year, first, last); }); }
    return [
      [NUMBER + "\\s*" + UNIT + "?\\s*(?:x|×|by)\\s*" + NUMBER + "\\s*" + UNIT + "?", function (m) {
        return { sides: [length(m[1], m[2] || m[4] || "mm"), length(m[3], m[4] || m[2] || "mm")] };
      }],
      ["(?:(\\d+)\\s+)?(\\d+)\\s*[/\u2044]\\s*([1-9]\\d*)\\s*" + INCH, function (m) { return { near: [inches(m[1], m[2], m[3])] }; }],
      [NUMBER + "\\s*" + UNIT, function (m) { return { near: [length(m[1], m[2])] }; }],
      [NUMBER + "\\s*(?:h|hrs?|hours?)\\b(?:\\s*(\\d+)\\s*(?:m|min|minutes)?\\b)?", function (m) {
        return { near: [{ sign: "~", value: toNumber(m[1]) + Number(m[2] || 0) / 60, within: m[2] ? 0.02 : Math.min(0.5, halfPlace(m[1])) }] };
      }],
      ["(\\d+)\\s*(?:min|minutes)\\b", function (m) { return { near: [{ sign: "~", value: m[1] / 60, within: 0.02 }] }; }],
      ["(?:version|v)\\s*(\\d+)\\b", function (m) { return { words: ["^" + Number(m[1])] }; }],
      ["(\\d{4})-(\\d{2})-(\\d{2})\\b", function (m) { return { days: [[day(+m[1], +m[2], +m[3]), day(+m[1], +m[2], +m[3])]] }; }],
      ["(\\d{1,2})[./](\\d{1,2})[./](\\d{4})\\b", function (m) { return { days: [[day(+m[3], +m[2], +m[1]), day(+m[3], +m[2], +m[1])]] }; }],
      ["(\\d{4})-(\\d{2})\\b", function (m) { return { days: [monthDays(+m[1], +m[2], +m[2])] }; }],
      ["(\\d{1,2})(?:\\.|st|nd|rd|th)?\\s+(?:of\\s+)?" + MONTH + "(?:\\s+(\\d{4}))?\\b", function (m) {
        var of = m[3] ? [+m[3]] : years;
        return { days: of.map(function (year) { var one = day(year, monthNumber(m[2]), +m[1]); return [one, one]; }) };
      }],
      [MONTH + "\\s+(\\d{1,2})(?:st|nd|rd|th)?,?\\s+(\\d{4})\\b", function (m) {
        var one = day(+m[3], monthNumber(m[1]), +m[2]);
        return { days: [[one, one]] };
      }],
      [MONTH + "\\s+(\\d{4})\\b", function (m) { return { days: [monthDays(+m[2], monthNumber(m[1]), monthNumber(m[1]))] }; }],
      [MONTH + "(?![\\p{L}\\p{N}])", function (m) { return { days: everyYear(monthNumber(m[1]), monthNumber(m[1])) }; }],
      ["(spring|summer|autumn|fall|winter)(?:\\s+(\\d{4}))?\\b", function (m) {
        var months = SEASONS[m[1]];
        return { days: m[2] ? [monthDays(+m[2], months[0], months[1])] : everyYear(months[0], months[1]) };
      }],
      ["(last|this)\\s+(year|month|week)\\b", function (m) { return { days: [relativeDays(m[1], m[2], today)] }; }],
      ["(today|yesterday)\\b", function (m) { var one = shifted(today, m[1] === "today" ? 0 : -1); return { days: [[one, one]] }; }],
      ["((?:19|20)\\d{2})(?![\\p{L}\\p{N}-])", function (m) { return { days: [monthDays(+m[1], 1, 12)] }; }]
    ].map(function (form) { return [new RegExp(form[0], "yu"), form[1]]; });
  }

  // The plain forms of a number of a batch or a client, as the records compare them.
  function numberKeys(text) {
    var plain = text.replace(/^(?:lot|batch|charge|no|nr|#)[\s.:#-]*(?=\S*\d)/, "");
    var parts = plain.match(/[\p{L}\p{N}]+/gu) || [];
    function short(text) { return (text.match(/\d+|[^\d]+/g) || []).map(function (run) { return /\d/.test(run) ? run.replace(/^0+(?=.)/, "") : run; }); }
    var parted = parts.map(short).reduce(function (all, runs) { return all.concat(runs); }, []).join("-");
    return /^\d{1,4}[-./]\d{1,2}[-./]\d{1,4}$/.test(plain) ? ["#" + parted] : ["#" + parted, "#=" + short(parts.join("")).join("")];
  }

  // ---- The index ----

  function Search(index, phrases) {
    var search = this, ends = 0;
    this.index = index; this.phrases = phrases;
    this.words = index.words.split("\n");
    this.posts = index.posts.split("\n");
    this.starts = index.counts.map(function (count) { var start = ends; ends += count; return start; });
    this.size = ends;
    this.fields = Object.create(null);
    index.fields.forEach(function (field, number) { search.fields[field[0]] = number; });
    this.longest = Object.keys(phrases).reduce(function (most, phrase) { return Math.max(most, phrase.split(" ").length); }, 0);
    this.cache = Object.create(null);
  }
  var KINDS = ["piece", "stencil", "client", "batch"];

  Search.prototype.kindOf = function (answer) {
    var kind = 3;
    while (this.starts[kind] > answer) { kind -= 1; }
    return KINDS[kind];
  };
  // Where a kind's answers begin.
  Search.prototype.startOf = function (kind) { return this.starts[KINDS.indexOf(kind)]; };
  Search.prototype.parentOf = function (answer) {
    return this.kindOf(answer) === "stencil" ? this.index.parents[answer - this.starts[1]] : null;
  };
  Search.prototype.nameOf = function (answer) {
    var own = this.index.names[answer];
    if (this.kindOf(answer) !== "stencil") { return own; }
    return this.index.names[this.parentOf(answer)] + ", " + own;
  };
  Search.prototype.hrefOf = function (answer) {
    return this.kindOf(answer) === "stencil" ? this.index.hrefs[this.parentOf(answer)] + this.index.hrefs[answer] : this.index.hrefs[answer];
  };

  // The first place in the sorted words that is not before this one.
  Search.prototype.placeOf = function (word) {
    var low = 0, high = this.words.length, middle;
    while (low < high) {
      middle = (low + high) >> 1;
      if (this.words[middle] < word) { low = middle + 1; } else { high = middle; }
    }
    return low;
  };
  Search.prototype.has = function (word) { return this.words[this.placeOf(word)] === word; };
  Search.prototype.beginning = function (start) {
    var found = [], at = this.placeOf(start);
    while (at < this.words.length && this.words[at].startsWith(start)) { found.push(this.words[at]); at += 1; }
    return found;
  };
  // Call use(answer, field) for every place a word stands in.
  Search.prototype.each = function (word, use) {
    var post = this.posts[this.placeOf(word)], at = 0, field = 0, answer = 0, step = -1, code;
    for (; at <= post.length; at += 1) {
      code = at < post.length ? post.charCodeAt(at) : 44;
      if (code >= 48 && code <= 57) { step = (step < 0 ? 0 : step * 10) + code - 48; continue; }
      if (step >= 0) { answer += step; use(answer, field); step = -1; }
      if (code !== 44) { field = this.fields[post[at]]; answer = 0; }
    }
  };

  // What one part of a question is found in: for each answer how much it counts, from its own lines and from those a stencil takes over.
  function Found(search) {
    this.search = search;
    this.own = new Float32Array(search.size);
    this.given = new Float32Array(search.starts[1]);
    this.words = new Set();
    this.some = false;
  }
  Found.prototype.add = function (word, quality, most) {
    var own = this.own, given = this.given, pieces = given.length, fields = this.search.index.fields, found = this;
    this.words.add(word);
    this.search.each(word, function (answer, field) {
      var counts = Math.min(fields[field][2], most || Infinity) * quality;
      found.some = true;
      if (counts > own[answer]) { own[answer] = counts; }
      if (answer < pieces && fields[field][3] && counts > given[answer]) { given[answer] = counts; }
    });
  };
  // Take in what another finds, at a share of what it counts.
  Found.prototype.join = function (other, share) {
    function most(into, from) { for (var at = 0; at < into.length; at += 1) { if (from[at] * share > into[at]) { into[at] = from[at] * share; } } }
    if (!other.some) { return; }
    most(this.own, other.own); most(this.given, other.given);
    this.some = true;
    var words = this.words;
    other.words.forEach(function (word) { words.add(word); });
  };
  // Keep what all of them find: the least of each.
  function together(search, parts) {
    var both = new Found(search);
    function least(into, from) {
      var most = 0;
      for (var at = 0; at < into.length; at += 1) {
        if (from[at] < into[at]) { into[at] = from[at]; }
        if (into[at] > most) { most = into[at]; }
      }
      return most;
    }
    both.own.set(parts[0].own); both.given.set(parts[0].given);
    parts.forEach(function (part) { both.some = least(both.own, part.own) > 0; least(both.given, part.given); });
    parts.forEach(function (part) { part.words.forEach(function (word) { both.words.add(word); }); });
    return both;
  }

  Search.prototype.ofWord = function (term) {
    var search = this, found = new Found(this), forms = [];
    if (this.has(term)) { found.add(term, 1); }
    if (/ies$/.test(term)) { forms.push(term.slice(0, -3) + "y"); }
    if (/es$/.test(term)) { forms.push(term.slice(0, -2)); }
    if (/s$/.test(term) && term.length > 3) { forms.push(term.slice(0, -1)); }
    forms.forEach(function (form) { if (search.has(form)) { found.add(form, OTHER_FORM); } });
    // One or two digits are a figure, and no beginning of another.
    var isFigure = /^\d{1,2}$/.test(term);
    this.beginning(term).forEach(function (word) { if (word !== term && !isFigure) { found.add(word, BEGINS * (0.5 + 0.5 * term.length / word.length)); } });
    if (!found.some && (term.length > 3 || /[^\u0000-\u024f]/.test(term))) {
      this.words.forEach(function (word) { if (word.includes(term) && !/^[=~:^@#*]/.test(word)) { found.add(word, HOLDS); } });
    }
    return found;
  };
  // A word run together out of two.
  Search.prototype.ofHalves = function (term) {
    for (var at = 2; at < term.length - 1; at += 1) {
      if (this.has(term.slice(0, at)) && this.has(term.slice(at))) {
        var both = together(this, [this.ofWord(term.slice(0, at)), this.ofWord(term.slice(at))]);
        if (both.some) { return both; }
      }
    }
    return null;
  };
  Search.prototype.ofWords = function (words) {
    var search = this;
    var parts = words.map(function (word) {
      var found = search.ofWord(word);
      return found.some ? found : search.ofHalves(word) || found;
    });
    return parts.length === 1 ? parts[0] : together(this, parts);
  };
  Search.prototype.exactly = function (words) {
    var search = this;
    return together(this, words.map(function (word) {
      var found = new Found(search);
      if (search.has(word)) { found.add(word, 1); }
      return found;
    }));
  };
  Search.prototype.ofMeasure = function (measure) {
    var found = new Found(this);
    this.beginning(measure.sign).forEach(function (word) {
      var off = Math.abs(parseFloat(word.slice(1)) - measure.value);
      if (off <= measure.within + 0.05) { found.add(word, 1 - 0.4 * off / (measure.within + 0.05)); }
    });
    return found;
  };
  // Both sides of one thing, as typed or the other way round.
  Search.prototype.ofSides = function (one, other) {
    var found = new Found(this), pairs = this.beginning("*").map(function (word) { return [word].concat(word.slice(1).split("*").map(parseFloat)); });
    function fits(measure, side) { var off = Math.abs(side - measure.value), most = measure.within + 0.05; return off <= most ? 1 - 0.4 * off / most : 0; }
    pairs.forEach(function (pair) {
      var quality = Math.max(Math.min(fits(one, pair[1]), fits(other, pair[2])), 0.9 * Math.min(fits(one, pair[2]), fits(other, pair[1])));
      if (quality) { found.add(pair[0], quality); }
    });
    return found;
  };
  Search.prototype.ofDays = function (ranges) {
    var search = this, found = new Found(this);
    ranges.forEach(function (range) {
      var at = search.placeOf(":" + range[0]), last = ":" + range[1];
      // The day of a piece before any other day.
      while (at < search.words.length && search.words[at] <= last) { found.add(search.words[at], 1, search.index.fields[search.fields.d][2]); at += 1; }
    });
    return found;
  };
  Search.prototype.ofMeaning = function (meaning) {
    var search = this, found = new Found(this);
    (meaning.words || []).forEach(function (word) { if (search.has(word)) { found.add(word, 1); } });
    (meaning.near || []).forEach(function (measure) { found.join(search.ofMeasure(measure), 1); });
    if (meaning.days) { found.join(this.ofDays(meaning.days), 1); }
    if (meaning.sides) { found.join(this.ofSides(meaning.sides[0], meaning.sides[1]), 1); }
    return found;
  };

  // Words of letters alone, with their letters as bits: two words that are near differ in few.
  function bits(word) {
    var mask = 0;
    for (var at = 0; at < word.length; at += 1) { mask |= 1 << (word.charCodeAt(at) % 29); }
    return mask;
  }
  function count(mask) { var ones = 0; while (mask) { mask &= mask - 1; ones += 1; } return ones; }
  Search.prototype.letterWords = function () {
    if (!this.plain) {
      this.plain = this.words.filter(function (word) { return word.length > 2 && /^\p{L}+$/u.test(word); })
        .map(function (word) { return [word, bits(word)]; });
    }
    return this.plain;
  };
  // Call use(word, how far) for the words at most so far from a term.
  Search.prototype.around = function (term, most, use) {
    var mask = bits(term), begins = term.length > 4;
    this.letterWords().forEach(function (one) {
      var word = one[0], longer = word.length - term.length, off;
      if (longer < -most || (longer > most && !begins)) { return; }
      if (longer <= most) {
        if (count(mask ^ one[1]) > 2 * most) { if (!begins) { return; } } else {
          off = distance(term, word, most);
          if (off <= most) { use(word, off); return; }
        }
      }
      // A longer word of which the beginning is meant, while one types.
      if (begins && longer > 0 && count(mask & ~one[1]) <= most) {
        off = distance(term, word.slice(0, term.length), most);
        if (off + 0.5 <= most) { use(word, off + 0.5); }
      }
    });
  };

  // The words that may have been meant, the likeliest first: few slips, the same first letter, then the weightier lines.
  Search.prototype.near = function (term) {
    var search = this, most = slips(term), found = [];
    function weight(word) {
      var most = 0;
      search.each(word, function (_, field) { most = Math.max(most, search.index.fields[field][2]); });
      return most;
    }
    if (term.length < 2 || /\d/.test(term)) { return []; }
    this.around(term, most, function (word, off) {
      // Of a short word another letter at its beginning makes another word.
      if (term.length < 5 && word[0] !== term[0]) { return; }
      found.push([off + (word[0] === term[0] ? 0 : 0.4), word]);
    });
    // Two words run together, one of them with a slip.
    for (var at = 2; at < term.length - 1; at += 1) { this.nearHalves(term.slice(0, at), term.slice(at), found); }
    return found.map(function (one) { return [one[0] - weight(one[1].split(" ")[0]) / 100, one[1]]; })
      .sort(function (a, b) { return a[0] - b[0] || (a[1] < b[1] ? -1 : 1); }).slice(0, 12).map(function (one) { return one[1]; });
  };
  Search.prototype.nearHalves = function (first, second, found) {
    var search = this, known = [search.has(first), search.has(second)];
    if (known[0] === known[1] || Math.min(first.length, second.length) < 3) { return; }
    var whole = known[0] ? first : second, slipped = known[0] ? second : first;
    this.around(slipped, 1, function (word, off) {
      if (off === 1) { found.push([1.3, known[0] ? whole + " " + word : word + " " + whole]); }
    });
  };

  // ---- Questions ----

  // Part a question into what it asks for: {said, meaning, words}.
  Search.prototype.parts = function (question, today) {
    var search = this, index = this.index, parts = [], at = 0, match, form;
    var text = fold(question.replace(/[¼½¾]/g, function (sign) { return " " + sign.normalize("NFKD").replace("\u2044", "/"); }));
    var known = forms(today, index.years);
    function part(said, meaning) { parts.push({ said: said, typed: question.length === text.length ? question.slice(at, at + said.length) : said, meaning: meaning, words: said.match(/[\p{L}\p{N}]+/gu) || [] }); at += said.length; }
    function phrase() {
      var pattern = /[^\p{L}\p{N}]*([\p{L}\p{N}]+)/yu, words = [], found = null, one;
      pattern.lastIndex = at;
      while (words.length < search.longest && (one = pattern.exec(text))) {
        if (words.length && FILLERS.has(one[1])) { continue; }
        words.push(one[1]);
        // Of one word it counts where the archive has what it means; several words are no others even where it has not.
        var meant = search.phrases[words.join(" ")], there = meant && meant.filter(function (word) { return search.has(word); });
        if (meant && (there.length || words.length > 1)) { found = [text.slice(at, pattern.lastIndex), { words: there }]; }
      }
      return found;
    }
    // So many needles of a kind: "5 round liner" is the one word 5RL, and no 14RL with a five elsewhere.
    function needle() {
      var pattern = /\d{1,2}/yu, next = /\s+(\p{L}+)/yu, words = ["#"], found = null, count, one;
      pattern.lastIndex = at;
      count = pattern.exec(text);
      next.lastIndex = pattern.lastIndex;
      while (count && words.length <= search.longest && (one = next.exec(text))) {
        words.push(one[1]);
        var group = search.phrases[words.join(" ")];
        if (group) { found = [text.slice(at, next.lastIndex), { words: [Number(count[0]) + group[0]], whole: true }]; }
      }
      return found;
    }
    function number() {
      var pattern = /(?:(?:lot|batch|charge|no|nr)[\s.:#]+)?[\p{L}\p{N}][^\s,;]*(?:\s+[\p{L}\p{N}][^\s,;]*)?/yu, longest, short;
      pattern.lastIndex = at;
      longest = (pattern.exec(text) || [""])[0];
      short = longest.replace(/\s+\S+$/, "");
      var same = [longest, short].filter(function (one) {
        return /\d/.test(one) && numberKeys(one).some(function (key) { return search.has(key); });
      });
      if (same.length) { return [same[0], { words: numberKeys(same[0]), whole: true }]; }
      return null;
    }
    // The beginning of a number, or one that nothing has: no word of it counts by itself.
    function numberStart() {
      var pattern = /[\p{L}\p{N}][^\s,;]*/yu, token, begun;
      pattern.lastIndex = at;
      token = pattern.exec(text)[0];
      if (!/^\p{L}{1,4}\d*[-/]?\d+$/u.test(token) || token.length < 3) { return null; }
      begun = numberKeys(token).reduce(function (found, key) { return found.concat(search.beginning(key)); }, []);
      if (begun.length) { return [token, { words: begun }]; }
      return /\d{2}$/.test(token) && !search.has(token) && !search.exactly(token.match(/[\p{L}\p{N}]+/gu)).some ? [token, { words: [], whole: true }] : null;
    }
    while (at < text.length) {
      match = null;
      if (/[^\p{L}\p{N}]/u.test(text[at])) { at += 1; continue; }
      match = needle() || number();
      for (form = 0; !match && form < known.length; form += 1) {
        known[form][0].lastIndex = at;
        var read = known[form][0].exec(text);
        if (read) { match = [read[0], known[form][1](read)]; }
      }
      match = match || phrase() || numberStart() || [/[\p{L}\p{N}]+/yu.exec(text.slice(at))[0], null];
      part(match[0], match[1]);
    }
    var asked = parts.filter(function (one) { return one.meaning || !FILLERS.has(one.said); });
    return joined(this, asked.length ? asked : parts);
  };
  // "9 rl" is 9RL where that is a word.
  function joined(search, parts) {
    var found = [], at, both;
    for (at = 0; at < parts.length; at += 1) {
      both = at + 1 < parts.length && !parts[at].meaning && !parts[at + 1].meaning ? parts[at].said + parts[at + 1].said : "";
      if (both && search.has(both)) {
        found.push({ said: parts[at].said + " " + parts[at + 1].said, typed: parts[at].typed + " " + parts[at + 1].typed, meaning: { words: [both] }, words: parts[at].words.concat(parts[at + 1].words) });
        at += 1;
      } else { found.push(parts[at]); }
    }
    return found;
  }

  Search.prototype.findPart = function (part) {
    var found, share = part.meaning && part.meaning.whole ? 0 : part.meaning ? APART : 1, key = JSON.stringify([part.said, part.meaning]);
    if (this.cache[key]) { return this.cache[key]; }
    found = part.meaning ? this.ofMeaning(part.meaning) : new Found(this);
    if (share && !(found.some && part.meaning.days)) {
      // A figure with its unit is one word, as in the needle 15CM. What else is read as more than words is sought by its words too,
      // where they stand as typed.
      var isMeasure = part.meaning && (part.meaning.near || part.meaning.sides);
      var words = isMeasure ? [part.words.join("")] : part.words, plain = isMeasure || found.some ? this.exactly(words) : this.ofWords(words);
      if (part.meaning) { found.join(plain, share); } else { found = plain; }
      // A bare number may be a length that nobody wrote the unit of.
      if (!part.meaning && /^\d{2,3}$/.test(part.said)) { found.join(this.ofMeasure(length(part.said, "mm")), 0.9); }
    }
    if (Object.keys(this.cache).length > 40) { this.cache = Object.create(null); }
    this.cache[key] = found;
    return found;
  };

  // Give what has all parts, as [answer, how much it counts], in the order of the answers; a stencil needs a line of its own unless all of them are asked for.
  Search.prototype.rank = function (found, isWhole) {
    var pieces = this.starts[1], stencils = this.starts[2], parents = this.index.parents, ranked = [], answer, total, own, at, counts, piece, closer;
    var totals = new Float32Array(pieces), ofVersion = this.index.fields[this.fields.e][2];
    for (answer = 0; answer < this.size; answer += 1) {
      total = 0; own = !(answer >= pieces && answer < stencils) || isWhole; closer = false;
      for (at = 0; at < found.length; at += 1) {
        counts = found[at].own[answer];
        if (answer >= pieces && answer < stencils) {
          own = own || counts > 0;
          // The piece has it only by its versions: then the version is what is looked for.
          closer = closer || (counts > 0 && found[at].own[parents[answer - pieces]] <= ofVersion);
          piece = OF_PIECE * found[at].given[parents[answer - pieces]];
          if (piece > counts) { counts = piece; }
        }
        if (!counts) { total = 0; break; }
        total += counts;
      }
      if (answer < pieces) { totals[answer] = total; }
      if (closer && total) { total = Math.max(total, totals[parents[answer - pieces]] + 0.5); }
      if (total && own) { ranked.push([answer, total]); }
    }
    return ranked;
  };

  // Answer a question: {parts, found, ranked, said, corrections, failed}; said tells what was read otherwise than typed, or left
  // out. today is a number such as 20250222.
  Search.prototype.answer = function (question, today, isWhole) {
    var search = this, parts = this.parts(question, today), said = "";
    if (!parts.length) { return null; }
    var found = parts.map(function (part) { return search.findPart(part); });
    var ranked = this.rank(found, isWhole), corrections = [], failed = [];
    if (!ranked.length) {
      var other = this.corrected(parts, found, today, isWhole) || this.without(parts, found, isWhole);
      parts = other.parts; found = other.found; ranked = other.ranked; said = other.said;
      corrections = other.corrections || []; failed = other.failed || [];
    }
    // What is called just so comes first; its title has all the words.
    var title = wordsOf(question).join(" "), least = this.index.fields[this.fields.t][2] * parts.length;
    ranked.forEach(function (one) {
      if (one[1] >= least && wordsOf(search.nameOf(one[0])).join(" ") === title) { one[1] += 20; }
    });
    return { parts: parts, found: found, ranked: ranked, said: said, corrections: corrections, failed: failed };
  };
  function isBefore(one, other) { return one[1] > other[1] || (one[1] === other[1] && one[0] < other[0]); }
  // The best answers in order, without sorting all of them.
  Search.prototype.best = function (result, most) {
    var best = [];
    result.ranked.forEach(function (one) {
      var at = best.length;
      if (at === most && !isBefore(one, best[at - 1])) { return; }
      while (at > 0 && isBefore(one, best[at - 1])) { at -= 1; }
      best.splice(at, 0, one);
      if (best.length > most) { best.pop(); }
    });
    return best;
  };
  // All of them in order, or those that are wanted.
  Search.prototype.sorted = function (result, wanted) {
    return result.ranked.filter(function (one) { return !wanted || wanted(one[0]); }).sort(function (one, other) { return isBefore(one, other) ? -1 : 1; });
  };
  // How many answers of each kind there are.
  Search.prototype.counts = function (result) {
    var starts = this.starts, counts = starts.map(function () { return 0; }), kind = 0;
    result.ranked.forEach(function (one) {
      while (one[0] >= starts[kind + 1]) { kind += 1; }
      counts[kind] += 1;
    });
    return counts;
  };
  function quoted(text) { return say("“{text}”", { text: text }); }
  function listed(texts) { return texts.length < 2 ? texts.join("") : say("{others} and {last}", { others: texts.slice(0, -1).join(", "), last: texts[texts.length - 1] }); }

  // Read words that lead nowhere as near ones, in the question as it stands: first those that are in nothing, else any one.
  Search.prototype.corrected = function (parts, found, today, isWhole) {
    var search = this, lost = parts.map(function (_, at) { return at; }).filter(function (at) { return !found[at].some; });
    function attempt(places) {
      var texts = parts.map(function (part) { return part.said; }), read = [], best = null;
      var fits = places.every(function (at) {
        best = null;
        if (parts[at].meaning && parts[at].meaning.whole) { return false; }
        search.near(parts[at].said).some(function (word) {
          var others = places.filter(function (place) { return place > at; }), tried = texts.slice();
          tried[at] = word;
          var asked = search.parts(tried.filter(function (_, place) { return !others.includes(place); }).join(" "), today);
          var foundThen = asked.map(function (part) { return search.findPart(part); }), ranked = search.rank(foundThen, isWhole);
          if (ranked.length) { best = { parts: asked, found: foundThen, ranked: ranked }; texts = tried; read.push([parts[at].typed, word]); }
          return best;
        });
        return best;
      });
      return fits && best ? Object.assign(best, { corrections: read }) : null;
    }
    if (lost.length) {
      var all = attempt(lost);
      if (all) {
        all.said = all.corrections.map(function (pair) { return say("Nothing for {typed}; shown for {read}.", { typed: quoted(pair[0]), read: quoted(pair[1]) }); }).join(" ");
      }
      return all;
    }
    var best = null;
    parts.forEach(function (part, at) {
      var one = part.meaning ? null : attempt([at]);
      if (!one) { return; }
      one.top = one.ranked.reduce(function (most, pair) { return Math.max(most, pair[1]); }, 0);
      one.said = say("Nothing has all of this; shown for {read} instead of {typed}.", { read: quoted(one.corrections[0][1]), typed: quoted(part.typed) });
      if (!best || one.top > best.top) { best = one; }
    });
    return best;
  };
  // Leave out what is in nothing, else the one part that bars the most, and name it.
  Search.prototype.without = function (parts, found, isWhole) {
    var search = this, all = parts.map(function (_, at) { return at; });
    function left(places, said, failed) {
      var kept = places.map(function (at) { return found[at]; });
      return { parts: places.map(function (at) { return parts[at]; }), found: kept, ranked: kept.length ? search.rank(kept, isWhole) : [], said: said, failed: failed };
    }
    function texts(places) { return places.map(function (at) { return parts[at].typed; }); }
    function names(places) { return listed(texts(places).map(quoted)); }
    var lost = all.filter(function (at) { return !found[at].some; }), some = all.filter(function (at) { return found[at].some; });
    if (lost.length) {
      var rest = left(some, some.length ? say("Nothing has {words}; shown without it.", { words: names(lost) }) : say("Nothing has {words}.", { words: names(lost) }), texts(lost));
      if (rest.ranked.length || !some.length) { return rest; }
      var less = this.without(rest.parts, rest.found, isWhole);
      less.said = rest.said + " " + less.said; less.failed = rest.failed.concat(less.failed);
      return less;
    }
    var best = null;
    all.forEach(function (at) {
      var one = left(all.filter(function (other) { return other !== at; }), say("Nothing has {words} together; shown without {left}.", { words: names(all), left: names([at]) }), texts([at]));
      var top = one.ranked.reduce(function (most, pair) { return Math.max(most, pair[1]); }, 0);
      if (one.ranked.length && (!best || top > best[0])) { best = [top, one]; }
    });
    return best ? best[1] : left([], say("Nothing has {words} together.", { words: names(all) }), texts(all));
  };

  // ---- What is shown of an answer ----

  // Cut a text into [text, whether it matched]; words of the index are matched whole.
  function marked(text, words) {
    var cut = [], last = 0, pattern = /[\p{L}\p{N}\p{M}]+/gu, one;
    while ((one = pattern.exec(text))) {
      if (!words.has(fold(one[0]))) { continue; }
      if (one.index > last) { cut.push([text.slice(last, one.index), false]); }
      cut.push([one[0], true]);
      last = one.index + one[0].length;
    }
    if (last < text.length || !cut.length) { cut.push([text.slice(last), false]); }
    return cut;
  }
  // Cut a long line down to what stands around its first match.
  var MOST_LETTERS = 150, BEFORE = 50;
  function shortened(cut) {
    var total = cut.reduce(function (sum, part) { return sum + part[0].length; }, 0), at = 0, from, first;
    if (total <= MOST_LETTERS) { return cut; }
    cut.some(function (part) { if (!part[1]) { at += part[0].length; } return part[1]; });
    from = at < BEFORE * 2 ? 0 : at - BEFORE;
    var kept = [], place = 0;
    cut.forEach(function (part) {
      var begin = Math.max(from - place, 0), end = Math.min(from + MOST_LETTERS - place, part[0].length);
      if (begin < end) { kept.push([part[0].slice(begin, end), part[1]]); }
      place += part[0].length;
    });
    first = kept[0];
    if (from && !first[1]) { kept[0] = ["… " + first[0].replace(/^\S*\s+/, ""), false]; }
    if (from + MOST_LETTERS < total) { kept.push([" …", false]); }
    return kept;
  }
  // Choose at most two of an answer's lines, [letter, text, also, heading], that show why it was found.
  Search.prototype.linesShown = function (result, lines) {
    var search = this, open = result.found.slice(), shown = [], taken = new Set();
    var wordsIn = new Map(lines.map(function (line) { return [line, wordsOf(line[1]).concat(line[2] || [])]; }));
    function hits(line, found) { return wordsIn.get(line).filter(function (word) { return found.words.has(word); }).length; }
    // What the name says already needs no line.
    var title = lines.find(function (line) { return line[0] === "t" && !line[3]; });
    var unsaid = title ? open.filter(function (found) { return !hits(title, found); }) : open;
    if (unsaid.length) { open = unsaid; }
    while (open.length && shown.length < 2) {
      var best = null, most = 0;
      lines.forEach(function (line) {
        if (line[0] === "t" && !line[3]) { return; }
        var counts = 0;
        open.forEach(function (found) { counts += hits(line, found) && 100 + 5 * Math.min(hits(line, found), 4); });
        counts = counts ? counts + 2 * search.index.fields[search.fields[line[0]]][2] : 0;
        if (counts > most && !taken.has(line)) { most = counts; best = line; }
      });
      if (!best) { break; }
      var words = new Set();
      result.found.forEach(function (found) { found.words.forEach(function (word) { words.add(word); }); });
      open = open.filter(function (found) { return !hits(best, found); });
      taken.add(best);
      var cut = marked(best[1], words), isMarked = cut.some(function (piece) { return piece[1]; });
      shown.push([best[3] || search.index.fields[search.fields[best[0]]][1], shortened(isMarked ? cut : [[best[1], true]])]);
    }
    return shown;
  };
  Search.prototype.nameShown = function (result, answer) {
    var words = new Set();
    result.found.forEach(function (found) { found.words.forEach(function (word) { words.add(word); }); });
    return marked(this.nameOf(answer), words);
  };

  Search.say = say; Search.sayCount = sayCount; Search.said = SAID;
  Search.fold = fold; Search.wordsOf = wordsOf;
  home.ArchiveSearch = Search;
})(typeof window === "undefined" ? globalThis : window);
