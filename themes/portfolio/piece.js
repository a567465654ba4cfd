/* More than a piece's page needs: the next piece by arrow key and by swipe, fresh and healed laid on each other. */
(function () {
  "use strict";
  var page = document.documentElement;
  page.classList.add("moves");

  function turn(isRight) {
    var isRtl = page.dir === "rtl";
    var link = document.querySelector(".turn a[rel=" + (isRight === isRtl ? "prev" : "next") + "]");
    if (link) { window.location.href = link.href; }
  }

  function startDivider(over) {
    var slider = over.querySelector("input"), photo = over.querySelector("img");
    var part = (over.dataset.part || "").split(" ");
    if (part.length === 4) {
      ["--left", "--top", "--wide", "--high"].forEach(function (name, number) { over.style.setProperty(name, part[number]); });
      over.style.aspectRatio = photo.getAttribute("width") * part[2] + " / " + photo.getAttribute("height") * part[3];
    }
    function move() {
      over.style.setProperty("--at", slider.value / 100);
      slider.setAttribute("aria-valuetext", over.dataset.left + " " + slider.value + " %, " + over.dataset.right + " " + (100 - slider.value) + " %");
    }
    slider.addEventListener("input", move);
    move();
  }

  document.addEventListener("DOMContentLoaded", function () {
    Array.prototype.forEach.call(document.querySelectorAll(".over"), startDivider);
  });

  document.addEventListener("keydown", function (event) {
    var isTyped = event.target.closest("input, textarea, select");
    var isHeld = event.ctrlKey || event.altKey || event.metaKey || event.shiftKey;
    /* A page enlarged so far that it moves sideways keeps its arrow keys. */
    if (isTyped || isHeld || event.defaultPrevented || page.scrollWidth > page.clientWidth) { return; }
    if (event.key === "ArrowRight" || event.key === "ArrowLeft") { turn(event.key === "ArrowRight"); }
  });

  /* One finger, quickly, along; not from the edge, where the browser's own ways back begin, and not while enlarged. */
  var EDGE = 28, LEAST = 64, LONGEST = 900, from = null;
  document.addEventListener("touchstart", function (event) {
    var touch = event.touches[0], isEnlarged = window.visualViewport && window.visualViewport.scale > 1.05;
    var isFree = event.touches.length === 1 && !isEnlarged && !event.target.closest("input, textarea, select, pre");
    var isInside = touch.clientX > EDGE && touch.clientX < window.innerWidth - EDGE;
    from = isFree && isInside ? { x: touch.clientX, y: touch.clientY, time: event.timeStamp } : null;
  }, { passive: true });
  document.addEventListener("touchend", function (event) {
    var touch = event.changedTouches[0];
    if (!from || !touch) { return; }
    var along = touch.clientX - from.x, across = Math.abs(touch.clientY - from.y);
    if (Math.abs(along) >= LEAST && Math.abs(along) > 2 * across && event.timeStamp - from.time < LONGEST) { turn(along < 0); }
    from = null;
  }, { passive: true });
  document.addEventListener("touchcancel", function () { from = null; }, { passive: true });
}());
