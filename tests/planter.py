"""Fill every text of a record, so that what happens to each can be followed."""

import types
import typing

import msgspec

from archgen.records import model

# What a record's owner may see in public: the contract names everything else private, or nothing public shows it.
PUBLIC = {
    "title",
    "styles",
    "subjects",
    "placement.region",
    "photo.alt",
    # Credit that the licence asks for.
    "reference.creator",
    "reference.license",
    "reference.source",
    # The label of a picture a trained model had a part in.
    "reference.ai_system",
}
# Words of closed lists, and names of files that must be found.
KEPT = {"release.scope", "photo.file"}


class Planter:
    """Fills every text of a record with a marker of its own."""

    def __init__(self):
        self.markers = {}

    def marker(self, path):
        text = f"Zq{len(self.markers)}x marker of {path.replace('.', ' ').replace('_', ' ')} q{len(self.markers)}z"
        self.markers[text] = path
        return text

    def record(self, kind, path="", given=None):
        values = {}
        for spec, hint in zip(msgspec.structs.fields(kind), typing.get_type_hints(kind).values(), strict=True):
            here = f"{path}.{spec.encode_name}".lstrip(".")
            if given is not None and (here in KEPT or here in PUBLIC):
                values[spec.name] = getattr(given, spec.name)
            else:
                values[spec.name] = self.value(hint, here, getattr(given, spec.name, None))
        return kind(**values)

    def value(self, hint, path, given):
        if isinstance(hint, types.UnionType):
            hint = next(part for part in typing.get_args(hint) if part is not types.NoneType)
        if hint is str:
            return self.marker(path)
        if typing.get_origin(hint) is tuple and typing.get_args(hint)[0] is str:
            return (self.marker(path),)
        if typing.get_origin(hint) is tuple and isinstance(typing.get_args(hint)[0], type):
            inner = typing.get_args(hint)[0]
            if issubclass(inner, model.Record):
                return tuple(self.record(inner, path, one) for one in given)
            return given
        if isinstance(hint, type) and issubclass(hint, model.Record):
            return self.record(hint, path, given)
        return given
