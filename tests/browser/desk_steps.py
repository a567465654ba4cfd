"""Do what an artist does at the desk, in a real browser, and count it as the Keystroke-Level Model does.

Operators in seconds (S. K. Card, T. P. Moran, A. Newell, "The keystroke-level model for user performance time with
interactive systems", Communications of the ACM 23(7), 1980, 396-410, as restated after Card et al. 1983): a key of an
average non-secretary typist 0.28, pointing 1.10, a press and release 0.20, hand between keyboard and mouse 0.40,
mental preparation 1.35 before each question and each chip. A capital costs a second key; scrolling counts as
pointing, since the model has no operator for it. The system's responses are measured, not assumed.
"""

import time
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

KEY, POINT, PRESS, HAND, MIND = 0.28, 1.10, 0.20, 0.40, 1.35


@dataclass
class Count:
    """What was done, and how long it takes by the model."""

    clicks: int = 0
    typed: int = 0
    keys: int = 0
    scrolls: int = 0
    minds: int = 0
    hands: int = 0
    responses: float = 0.0

    @property
    def seconds(self) -> float:
        """Give the time by the model."""
        points = self.clicks + self.scrolls
        hand = self.keys * KEY + points * POINT + self.clicks * PRESS + self.hands * HAND
        return hand + self.minds * MIND + self.responses


@dataclass
class Artist:
    """Hands on a page: every target is brought into the window before it is touched."""

    page: Any
    is_phone: bool = False
    picture: Callable[[str], None] = lambda _name: None
    count: Count = field(default_factory=Count)
    at_keys: bool = False
    pressed_at: float = 0.0

    def think(self) -> None:
        """Prepare for the next question or chip."""
        self.count.minds += 1

    def touch(self, selector: str, *, thinks: bool = True, at: tuple[float, float] | None = None) -> None:
        """Point and press."""
        if thinks:
            self.think()
        target = self.page.locator(selector).filter(visible=True).first
        self._scroll_to(target)
        self._to_mouse()
        self.count.clicks += 1
        self.pressed_at = time.monotonic()
        if at:
            box = target.bounding_box()
            self.page.mouse.click(box["x"] + box["width"] * at[0], box["y"] + box["height"] * at[1])
        else:
            box = target.bounding_box()
            self.page.mouse.click(box["x"] + box["width"] / 2, box["y"] + min(box["height"] / 2, 30))

    def type(self, words: str, *, thinks: bool = True, enter: bool = False) -> None:
        """Type into the field that has the focus."""
        if thinks:
            self.think()
        self._to_keys()
        self.page.keyboard.type(words)
        self.count.typed += len(words)
        self.count.keys += len(words) + sum(letter.isupper() for letter in words)
        if enter:
            self.press("Enter")

    def press(self, key: str) -> None:
        """Press a single key."""
        self._to_keys()
        self.page.keyboard.press(key)
        self.count.keys += 1

    def wait_for(self, act: Callable[[], None], seen: str) -> float:
        """Measure the time from an act to what is seen then."""
        act()
        self.page.wait_for_selector(seen)
        took = time.monotonic() - self.pressed_at
        self.count.responses += took
        return took

    def _to_mouse(self) -> None:
        if self.at_keys and not self.is_phone:
            self.count.hands += 1
        self.at_keys = False

    def _to_keys(self) -> None:
        if not self.at_keys and not self.is_phone:
            self.count.hands += 1
        self.at_keys = True

    def _scroll_to(self, target: Any) -> None:
        height = self.page.viewport_size["height"] - (130 if self.is_phone else 0)
        for _ in range(20):
            box = target.bounding_box()
            if box is None or (box["y"] >= 0 and box["y"] + min(box["height"], height * 0.9) <= height):
                return
            step = 600 if box["y"] > 0 else -600
            if not self._is_fixed(target):
                self.page.evaluate("by => window.scrollBy(0, by)", step)
                self.count.scrolls += 1
            else:
                return

    @staticmethod
    def _is_fixed(target: Any) -> bool:
        return bool(target.evaluate("node => !!node.closest('.steps-bar')"))
