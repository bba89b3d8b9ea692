"""The few things that stand on a ledge: columns, figures, fields, words that do something.

Every field has its label, says what is wrong with what was written right under it, and leaves what was written alone
until it can be read.
"""

from __future__ import annotations

import asyncio
import itertools
import json
from collections.abc import Awaitable, Callable, Mapping, Sequence
from contextlib import contextmanager
from typing import Any

from nicegui import ui
from nicegui.elements.mixins.text_element import TextElement
from nicegui.events import GenericEventArguments

from stopcut.app.merging_words import Clash
from stopcut.app.page_events import HandedOn, Typed, told
from stopcut.errors import CarverError

__all__ = ["RELEASED", "Field", "FiguresList", "OnChange", "column", "heading", "word_button", "words"]

_numbers = itertools.count(1)

MOST_WRITTEN = 50_000
"""Characters in a field. Our choice: twenty pages of a client's letter, and twice of it goes through a page's socket
(1,000,000 bytes a message)."""

OnChange = Callable[[Any], Awaitable[bool | None] | bool | None]
"""What a field does with its new value; it may raise ValueError or CarverError, whose words stand under the field. A
choice or a word to be ticked goes back to what it was where that is answered False."""

_NOTE_BEFORE = "(e) => { if (!e.isComposing) window.stopcutBefore = { id: e.target.id, words: e.target.value } }"
"""What stands in a field before a keystroke, noted on the page: the program may know of another by then."""
_TELL_BOTH = """(value) => {
  const noted = window.stopcutBefore, here = document.activeElement?.id === noted?.id;
  emit({ value, before: here ? noted.words : null });
}"""
_PUT = """(id, name, seen, value) => {
  const field = getElement(id), input = document.getElementById(name);
  if (!field || !input) return;
  if (input.value === value) input.stopcutPut = value;
  if (input.value !== seen && input.value !== input.stopcutPut) return;
  input.stopcutPut = value;
  const at = input.selectionStart;
  let same = 0;
  while (same < seen.length && seen[same] === value[same]) same += 1;
  field.emitting = false;
  field.inputValue = value;
  field.$nextTick(() => {
    field.emitting = true;
    const to = at <= same ? at : Math.max(same, at + value.length - seen.length);
    if (at !== null && document.activeElement === input) input.setSelectionRange(to, to);
  });
}"""
"""Puts a value into a field, unless a keystroke that is not known here yet has changed it: that one is answered next.
The caret stays between the letters that it stands between. The page does not tell it back: it is known here."""
_HAND_ON = """(e) => {
  const field = e.target;
  const tell = () => {
    const put = field.stopcutPut ?? %s;
    field.stopcutPut = field.value;
    emit({ value: field.value, put });
  };
  if (!(e instanceof KeyboardEvent) && window.stopcutReleased) window.stopcutReleased(tell);
  else tell();
}"""
"""Tells what stands in a field that is left or entered, and what was last put there or handed on. What the program
believes to stand there may be older."""
_BEGIN = """(name) => {
  const writing = () => document.activeElement?.matches("input:not([type=radio], [type=checkbox]), textarea");
  let frames = 60;
  const begin = () => {
    const field = document.getElementById(name);
    if (field && !writing()) field.focus();
    else if (!field && frames--) requestAnimationFrame(begin);
  };
  begin();
}"""
"""Puts the caret in a field as soon as it is drawn, within a second's frames, unless somebody writes in another by
then."""
RELEASED = """<script>(() => {
  let down = false, waiting = [];
  const up = () => { down = false; const told = waiting; waiting = []; told.forEach((tell) => tell()); };
  addEventListener("pointerdown", () => { up(); down = true; }, true);
  for (const end of ["pointerup", "pointercancel"]) addEventListener(end, up, true);
  window.stopcutReleased = (tell) => down ? waiting.push(tell) : tell();
  const FAR_PX = 12;
  addEventListener("pointerdown", (press) => {
    const word = press.target.closest?.("button.word, label.toggle, fieldset.choice label");
    if (!word || press.button || press.pointerType === "touch") return;
    word.setPointerCapture(press.pointerId);
    const over = new AbortController(), options = { signal: over.signal };
    word.addEventListener("pointermove", (now) => {
      if (Math.hypot(now.clientX - press.clientX, now.clientY - press.clientY) <= FAR_PX) return;
      word.releasePointerCapture(press.pointerId);
      over.abort();
    }, options);
    word.addEventListener("lostpointercapture", () => over.abort(), options);
  }, true);
})()</script>"""
"""For a page's head: a field that is left by a press elsewhere is handed on when that is released, just before what is
pressed is done. Where a word about the field goes away at once, what is pressed moves from under the finger.

And a word that is pressed, chosen or ticked stays the one pressed until the finger is lifted, wherever the page may
have moved it, unless the finger itself goes away: farther than FAR_PX (our choice: more than a hand trembles, less than
a word is high)."""


@contextmanager
def column(title: str = "", *, wide: bool = False):  # type: ignore[no-untyped-def]
    """A column of the ledge."""
    with ui.element("section").classes("pane" + (" wide" if wide else "")) as made:
        if title:
            heading(title)
        yield made


def heading(text: str) -> TextElement:
    """What a column, or a part of it, is about."""
    return words(text, tag="h2")


def words(text: str = "", classes: str = "", tag: str = "p") -> TextElement:
    """Plain words; its text can be set again."""
    return TextElement(tag=tag, text=text).classes(classes)


def word_button(text: str, done: Callable[[], Any], *, says: str = "", firm: bool = False) -> TextElement:
    """A word that does something when it is pressed; says is the longer name for a screen reader."""
    made = TextElement(tag="button", text=text).classes("word" + (" firm" if firm else "")).props("type=button")
    if says:
        made.props["aria-label"] = says
    made.on("click", lambda _: done())
    return made


class FiguresList:
    """Label and figure, row after row; a figure can be set again by its label."""

    def __init__(self, rows: Mapping[str, str]) -> None:
        self._values: dict[str, TextElement] = {}
        with ui.element("dl").classes("figures") as self.element:
            for label, value in rows.items():
                words(label, tag="dt")
                self._values[label] = words(value, tag="dd")

    def show(self, rows: Mapping[str, str]) -> None:
        """Set figures by label; a label that is not there yet gets a row."""
        for label, value in rows.items():
            if label in self._values:
                self._values[label].text = value
            else:
                with self.element:
                    words(label, tag="dt")
                    self._values[label] = words(value, tag="dd")


class Field:
    """One value to write: text by keystroke, or a value taken when the field is left or Enter pressed."""

    def __init__(
        self,
        label: str,
        value: str,
        on_change: OnChange,
        *,
        live: bool = False,
        long: bool = False,
        lines: bool = False,
        hint: str = "",
        kind: str = "",
        suggestions: Sequence[str] = (),
        says: str = "",
    ) -> None:
        self._on_change, self._last = on_change, value
        self._put_last, self._replaced = value, value  # what was last put there or handed on, and in place of what
        self._stands = value  # what stands in the field, as far as it has been told here
        self._under_way = 0  # values that are being taken
        self._told = 0  # values handed on so far: a live field's next one stands for those that still wait
        self._meanwhile: str | None = None  # the value as it was last shown while one was being taken
        self._on_written: list[Callable[[], None]] = []
        self._own = False  # whether the next value shown is what has been made of the one taken last
        self.name = f"field-{next(_numbers)}"
        with ui.element("div").classes("entry" + (" long" if long else "")) as self._place:
            self._label = TextElement(tag="label", text=label).props(f"for={self.name}")
            make = ui.textarea if lines else ui.input
            self.input = make(value=value).props("borderless dense hide-bottom-space autocomplete=off")
            self.input.props["for"] = self.name
            self.input.props["input-id"] = self.name
            # one more than is taken, so that nothing is cut off without a word
            self.input.props["maxlength"] = MOST_WRITTEN + 1
            if hint:
                self.input.props["placeholder"] = hint
            if kind:
                self.input.props["type"] = kind
            if says:
                self.input.props["aria-label"] = says
            if lines:
                self.input.props("autogrow")
            if suggestions:
                with ui.element("datalist").props(f"id={self.input.html_id}-datalist"):
                    for suggestion in suggestions:
                        ui.element("option").props["value"] = suggestion
            self._decided = words("", "decided-by")
            self._fault = words("", "fault").props("role=alert")
        self.asks = False  # whether what is written here waits for a word: mine or theirs
        self.before = value  # what stood in a live field before what it hands on
        self._live = live
        self._answers: ui.element | None = None
        self._untaken: str | None = None  # what stood here before what was written and has not been taken yet
        self._turn = asyncio.Lock()
        self._listen(value, live=live, lines=lines)

    def _listen(self, value: str, *, live: bool, lines: bool) -> None:
        if live:
            self.input.on("beforeinput", js_handler=_NOTE_BEFORE)
            self.input.on("compositionstart", js_handler=_NOTE_BEFORE)
            self.input.on("update:model-value", self._typed, js_handler=_TELL_BOTH)
        else:
            self.input.on("update:value", lambda event: self._note(event.args), [None])
            self.input.on("blur", self._left, js_handler=_HAND_ON % json.dumps(value))
        if not lines and live:
            self.input.on("keydown.enter", lambda _: self._entered())
        elif not lines:
            self.input.on("keydown.enter", self._hand_on, js_handler=_HAND_ON % json.dumps(value))
        self.input.on("keydown.escape", lambda _: self.leave())

    @property
    def written(self) -> str:
        """What is written in it, taken or not."""
        return self._stands

    def show(self, value: str) -> None:
        """The value as it is now; what somebody is writing meanwhile is left alone, and they are told of the other."""
        if self._under_way and not self._live:
            self._meanwhile = value  # of before what is being taken: what comes of that is shown next
            return
        before, self._last = self._last, value
        own, self._own = self._own, False
        if self.written == value:
            self._settle()
        elif self._under_way or (self._live and self._untaken is not None):
            return
        elif not self._live and (self.asks or self.written != before):
            if value != before and not own:
                self._ask(f"Another window has written “{value}” here meanwhile.")
        else:
            self._settle(value)

    def set_visibility(self, visible: bool) -> None:
        """Whether the field is there at all."""
        self._place.set_visibility(visible)

    def clear(self) -> None:
        """Nothing is written here any more."""
        self._last = ""
        self._settle("")

    def on_written(self, heard: Callable[[], None]) -> None:
        """Be told of every keystroke in it."""
        self._on_written.append(heard)

    def begin(self) -> None:
        """Put the caret in it, unless somebody writes in another by now: this comes later than a quick hand."""
        self.input.client.run_javascript(f"({_BEGIN})({json.dumps(self.name)})")

    def leave(self) -> None:
        """Put back the value as it is, in place of what was written and not taken."""
        self._settle(self._last)

    def rename(self, label: str) -> None:
        """Another label."""
        self._label.text = label

    def hint(self, text: str) -> None:
        """What an empty field shows of what it takes."""
        self.input.props["placeholder"] = text

    def decide(self, by: str) -> None:
        """What decides the value instead: it takes no other while that stands; "" for nothing."""
        self._decided.text = by
        if by:
            self.input.props("readonly")
            self._place.classes("decided")
        else:
            self.input.props(remove="readonly")
            self._place.classes(remove="decided")

    def fault(self, text: str) -> None:
        """What is wrong with what is written."""
        self._fault.text = text

    def _settle(self, value: str | None = None) -> None:
        """Nothing waits here any more."""
        if value is not None:
            self._put(value)
        self._fault.text = ""
        self.asks = False
        self._untaken = None
        if self._answers is not None:
            self._answers.delete()
            self._answers = None

    def _put(self, value: str) -> None:
        put = f"({_PUT})({self.input.id}, {json.dumps(self.name)}, {json.dumps(self._stands)}, {json.dumps(value)})"
        self.input.client.run_javascript(put)
        self._put_last, self._replaced, self._stands = value, self._stands, value
        with self.input.props.suspend_updates():  # what is drawn anew, as on another page, begins with it
            self.input.props["value"] = value

    def _note(self, value: object) -> None:
        self._stands = value if isinstance(value, str) else ""
        for heard in self._on_written:
            heard()

    def _ask(self, text: str) -> None:
        """Keep what is written, say why it is not saved, and let the carver choose."""
        self._fault.text = text
        self.asks = True
        if self._answers is None:
            with self._place, ui.element("div").classes("answers") as self._answers:
                word_button("Put mine in its place", self._entered)
                word_button("Take theirs", self.leave)

    async def _left(self, event: GenericEventArguments) -> None:
        """The field was left: what has been written by hand is taken."""
        sent = told(HandedOn, event.args)
        if sent is None or sent.value == sent.put or (sent.put != self._put_last and sent.value == self._replaced):
            return  # nothing was written, or another value is on its way there
        self._handed_on(sent.value)
        if not self.asks:
            await self._take(self.written)

    async def _hand_on(self, event: GenericEventArguments) -> None:
        """Enter was pressed."""
        sent = told(HandedOn, event.args)
        if sent is not None:
            self._handed_on(sent.value)
            await self._entered()

    def _handed_on(self, value: str) -> None:
        self._note(value)
        self._put_last = self._stands

    async def _entered(self) -> None:
        if self._live and self.asks:
            self._untaken = None
            await self._take(self.written, self._last)
        elif not self._live:
            self.asks = False
            await self._take(self.written)

    async def _typed(self, event: GenericEventArguments) -> None:
        """A keystroke in a live field: what stood there before it, and what it has made of it."""
        sent = told(Typed, event.args)
        if sent is not None:
            self._note(sent.value)
            await self._take(sent.value, self._last if sent.before is None else sent.before)

    async def _take(self, written: str, base: str | None = None) -> None:
        if written == self._last and (base is None or base == written):
            self._settle()
            return
        was, self._last = self._last, written
        self._under_way += 1
        self._told += 1
        number = self._told
        try:
            async with self._turn:
                if self._live and number < self._told:  # more has been typed meanwhile, and that is told
                    self._untaken = base if self._untaken is None else self._untaken
                    return
                await self._tell(written, base)
            self._settle()
            self._own, self._meanwhile = True, None
        except Clash as clash:
            self._last = clash.now
            self._ask(str(clash))
        except (ValueError, CarverError) as problem:
            if self._last == written:
                self._last = was
            self._fault.text = str(problem)
        finally:
            self._under_way -= 1
        if self._meanwhile is not None and not self._under_way:
            shown, self._meanwhile = self._meanwhile, None
            self.show(shown)

    async def _tell(self, written: str, base: str | None) -> None:
        """Hand on what is written; what was not taken before is part of it, so what stood before that stays."""
        if len(written.encode("utf-16-le", "replace")) > 2 * MOST_WRITTEN:  # as browsers count
            raise ValueError(f"Not saved: {MOST_WRITTEN:,} characters at most can be written here.")
        if base is not None and self._untaken is None:
            self._untaken = base
        self.before = written if self._untaken is None else self._untaken
        answer = self._on_change(written)
        if isinstance(answer, Awaitable):
            await answer
        self._untaken = None
