"""Make a wheel (PyPA binary distribution format 1.0) of a few texts, and unpack it as an installer would."""

import base64
import hashlib
import zipfile

_WHEEL = "Wheel-Version: 1.0\nGenerator: tests\nRoot-Is-Purelib: true\nTag: py3-none-any\n"


def make_wheel(folder, package, files, entry_points):
    """Give the path of a wheel; files are texts by path, entry points texts by group and name."""
    info = f"{package}-1.0.dist-info"
    groups = (f"[{group}]\n" + "".join(f"{name} = {value}\n" for name, value in named.items())
              for group, named in entry_points.items())  # fmt: skip
    texts = {
        **{f"{package}/{path}": text for path, text in files.items()},
        f"{info}/METADATA": f"Metadata-Version: 2.1\nName: {package}\nVersion: 1.0\n",
        f"{info}/WHEEL": _WHEEL,
        f"{info}/entry_points.txt": "\n".join(groups),
    }
    texts[f"{info}/RECORD"] = "".join(_row(path, text) for path, text in texts.items()) + f"{info}/RECORD,,\n"
    wheel = folder / f"{package}-1.0-py3-none-any.whl"
    with zipfile.ZipFile(wheel, "w") as opened:
        for path, text in texts.items():
            opened.writestr(path, text)
    return wheel


def _row(path, text):
    digest = base64.urlsafe_b64encode(hashlib.sha256(text.encode()).digest()).decode().rstrip("=")
    return f"{path},sha256={digest},{len(text.encode())}\n"


def install(wheel, site):
    """Unpack a wheel without scripts and data, for which that is all there is to do."""
    with zipfile.ZipFile(wheel) as opened:
        opened.extractall(site)
