"""Carry a plan out at a place; wherever it breaks off, the site there is whole and the next upload goes on."""

from dataclasses import dataclass
from functools import cache
from io import BytesIO

from PIL import Image

from archgen.languages.house import say, say_count, to_say
from archgen.progress import ProgressReporter
from archgen.uploading.built import BuiltSite
from archgen.uploading.place import UploadError, UploadPlace
from archgen.uploading.plan import PlaceState, Step, StepKind, UploadPlan
from archgen.uploading.sent import LIST, UNDER_WAY, UNKNOWN, Sent, SentHere, new_name, packed
from archgen.uploading.target import Target

_GRAY = (128, 128, 128)
_FORMATS = {"avif": "AVIF", "webp": "WEBP", "jpg": "JPEG", "png": "PNG"}
_GOES_ON = to_say("What is online is whole; upload again to go on.")
_UNCHANGED = to_say("Nothing was changed there.")


@dataclass(frozen=True)
class Upload:
    """What would be done at a place, and the place itself, entered.

    Attributes:
        known: What is known of the place before anything changes there.
        here: What this computer remembers of it.
    """

    target: Target
    place: UploadPlace
    site: BuiltSite
    known: PlaceState
    here: SentHere
    plan: UploadPlan

    @property
    def doubts(self) -> tuple[str, ...]:
        """Say what the artist should look at before anything is sent."""
        found = []
        if self.plan.others:
            names, more = self.plan.others[0], len(self.plan.others) - 1
            if more:
                names = say_count("{file} and {number} more file", "{file} and {number} more files", more, file=names)
            found.append(say("{names} lie there and were not sent by archgen. They would be replaced.", names=names))
        if self.known.is_lost:
            found.append(
                say(
                    "Something was sent there before, and nothing of it is known there any more. Is it the "
                    "right place, and is the disk connected?"
                )
            )
        if self.known.is_from_elsewhere:
            found.append(
                say(
                    "What lies there was sent from another computer, another results folder or another "
                    "archive. What is not in this portfolio would go."
                )
            )
        return tuple(found)

    def carry_out(self, progress: ProgressReporter) -> None:
        """Do all steps of the plan.

        Raises:
            UploadError: The place refuses or is away; what is online is whole, and the next upload goes on from there.
            WithheldError: The portfolio was changed meanwhile.
            OSError: The build folder can't be written.
        """
        place, known, steps = self.place, self.known, list(self.plan.steps())
        going = {step.path: UNKNOWN for step in steps}
        before = known.there or known.here
        sent = Sent(before.origin if before else new_name(), new_name(), {**known.sent, **going})
        is_begun = False
        try:
            if not place.at_once:
                _announce(place, sent, going, known)
                self.here.write(sent)
                is_begun = True
            for step in progress.track(steps, len(steps), "Sending"):
                self._do(step, sent.files)
            place.put(LIST, packed(sent, LIST))
            place.remove(UNDER_WAY)
            place.finish()
        except UploadError as error:
            raise UploadError(f"{error} {say(_GOES_ON if is_begun else _UNCHANGED)}") from error
        finally:
            if is_begun:
                self.here.write(sent)
        self.here.write(sent)

    def _do(self, step: Step, sent: dict[str, str]) -> None:
        place, path = self.place, step.path
        match step.kind:
            case StepKind.SEND:
                place.put(path, self.site.read(path))
                sent[path] = self.site.files[path].digest
            case StepKind.COVER:
                if not place.at_once:
                    place.put(path, _gray_picture(path.rpartition(".")[2]))
            case StepKind.REMOVE:
                place.remove(path)
                sent.pop(path, None)


def _announce(place: UploadPlace, sent: Sent, going: dict[str, str], known: PlaceState) -> None:
    """Say there what is about to be sent; from then on it counts as sent by us."""
    if known.is_broken and known.there:
        place.put(LIST, packed(known.there, LIST))
    place.put(UNDER_WAY, packed(Sent(sent.origin, sent.run, going), UNDER_WAY))


@cache
def _gray_picture(suffix: str) -> bytes:
    """Draw one gray pixel, which a page shows at the size of the picture it stands for."""
    content = BytesIO()
    Image.new("RGB", (1, 1), _GRAY).save(content, _FORMATS[suffix])
    return content.getvalue()
