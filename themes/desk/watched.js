// Wait for the next build, and show the page anew where it was; a build that stopped is said on the page.
(function () {
  "use strict";
  var script = document.currentScript, way = script.dataset.way, ended = script.dataset.ended, now = JSON.parse(script.dataset.now), box = null;
  function say(words) {
    if (!words) { if (box) { box.remove(); box = null; } return; }
    if (!box) {
      box = document.createElement("p");
      box.className = "archgen-said";
      box.setAttribute("role", "status");
      document.body.appendChild(box);
    }
    box.textContent = words;
  }
  function wait() {
    fetch(way + "?seen=" + now.turn, { cache: "no-store" }).then(function (answer) { return answer.json(); }).then(function (next) {
      if (next.ends) { say(ended); return; }
      if (next.turn !== now.turn && !next.trouble) { window.location.reload(); return; }
      now = next;
      say(now.trouble);
      wait();
    }).catch(function () { say(ended); });
  }
  say(now.trouble);
  wait();
}());
