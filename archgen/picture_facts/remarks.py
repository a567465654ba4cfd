"""Say in plain words what is odd about a picture file; every finding of the image stage is worded here or in decode."""

from archgen.findings import Finding, Place, Severity
from archgen.images.decode import SUFFIXES, UnusableError
from archgen.isolation.child import RaisedError
from archgen.languages.house import say
from archgen.metadata.picture_file import PictureFile
from archgen.picture_facts.copies import Copies
from archgen.picture_facts.facts import Role
from archgen.stencils.specks import REMEDY

_SPOKEN = {"HEIF": "HEIC", "WEBP": "WebP"}


def unusable(trouble: UnusableError) -> Finding:
    """Turn a refusal into its finding."""
    return _finding(trouble.code, Severity.ERROR, trouble.problem, trouble.remedy)


def stopped(error: Exception) -> UnusableError:
    """Tell of an error that nobody foresaw; its name is for whoever is asked about it."""
    name = error.kind if isinstance(error, RaisedError) else type(error).__name__
    return UnusableError(
        "image.damaged",
        say("The picture's file could not be read to its end ({name}).", name=name),
        say("Open it in another program and save it again as PNG or JPEG; until then it is left out."),
    )


def not_gauged(path: str, error: Exception) -> Finding:
    """Tell of a stencil whose lines could not be measured, though it can be seen."""
    problem = say("The lines of this stencil could not be measured ({error}).", error=type(error).__name__)
    return Finding(
        "image.not-gauged", Severity.NOTE, None, Place(path), problem, say("It can be printed all the same.")
    )


def on_file(file: PictureFile, suffix: str) -> tuple[Finding, ...]:
    """List what is odd about a file that can be used all the same."""
    found = []
    spoken = _SPOKEN.get(file.file_format, file.file_format)
    if SUFFIXES.get(suffix.lower()) != file.file_format:
        right = next(end for end, kind in SUFFIXES.items() if kind == file.file_format)
        found.append(
            _finding(
                "image.mislabelled",
                Severity.NOTE,
                say(
                    "The file's name ends in {suffix}, but it is a {spoken} picture, and used as one.",
                    suffix=suffix or say("nothing"),
                    spoken=spoken,
                ),
                say('Rename it to end in "{right}", also in piece.toml, so that other programs open it.', right=right),
            )
        )
    if not file.told.is_readable:
        found.append(
            _finding(
                "image.damaged-metadata",
                Severity.NOTE,
                say("The camera's data in this file is damaged, so the way it was held and its date may be unknown."),
                say("Look whether it stands upright; write taken = ... in piece.toml for its date."),
            )
        )
    more = file.has_more_pictures
    if more is None:
        found.append(
            _finding(
                "image.damaged-frames",
                Severity.NOTE,
                say("The file holds further pictures that are damaged; the first can be used."),
                say("Nothing to do if the first is the one that is meant; else save the others again, each as a file."),
            )
        )
    elif more and file.file_format in {"WEBP", "PNG", "GIF", "AVIF"}:
        found.append(
            _finding(
                "image.animated",
                Severity.NOTE,
                say("The file holds a moving picture."),
                say("Only its first picture is shown; nothing to do if that is right."),
            )
        )
    if file.mode == "CMYK" and not file.profile:
        found.append(
            _finding(
                "image.cmyk-without-profile",
                Severity.NOTE,
                say("The picture is stored in printing inks (CMYK) without saying which, so its colours are a guess."),
                say("Save it as RGB from the program it was made with if its colours matter."),
            )
        )
    return tuple(found)


def undrawable(message: str) -> Finding:
    """Turn what the drawing of an SVG or PDF said, problem first, into a finding."""
    problem, _, remedy = message.partition(". ")
    return _finding("image.damaged", Severity.ERROR, f"{problem[:1].upper()}{problem[1:].rstrip('.')}.", remedy)


def on_pixels(role: Role, made: Copies) -> tuple[Finding, ...]:
    """List what decoding showed of a picture that can be used all the same."""
    found = []
    if made.is_profile_damaged:
        found.append(
            _finding(
                "image.damaged-profile",
                Severity.NOTE,
                say(
                    "The colour profile in this file is damaged or of the wrong kind; colours are shown as "
                    "if it had none."
                ),
                say("Compare the colours with the original; export it again if they are off."),
            )
        )
    if made.specks:
        found.append(_finding("image.speck", Severity.WARNING, made.specks.sentence, say(REMEDY)))
    if role is Role.STENCIL and made.marks is None:
        found.append(
            _finding(
                "image.blank-stencil",
                Severity.WARNING,
                say(
                    "No drawing was found in this stencil: it is one even tone, or nothing in it is darker "
                    "than half gray."
                ),
                say("Save it again with dark lines on white or on transparency."),
            )
        )
    return tuple(found)


def _finding(code: str, severity: Severity, problem: str, remedy: str) -> Finding:
    return Finding(code, severity, None, Place(""), problem, remedy)
