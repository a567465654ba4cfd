"""Enter a place: load its engine, and give it the password from the environment or the keyring of the system."""

import os
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from platformdirs import user_config_path

from archgen.errors import UsageError
from archgen.languages.house import say, to_say
from archgen.uploading.place import Trust, UploadPlace
from archgen.uploading.target import Target, TargetKind

PASSWORD = "ARCHGEN_UPLOAD_PASSWORD"  # noqa: S105  the name of a variable
_SERVICE = "archgen upload"
_INSTALL = to_say("This way needs more than is installed. Type: pip install 'archgen[upload]' ({name} is missing.)")


@contextmanager
def entered(target: Target, trust: Trust) -> Iterator[UploadPlace]:
    """Enter a place, and leave it in the end.

    Raises:
        UploadError: It can't be reached or doesn't let us in.
        UsageError: Its engine isn't installed.
    """
    place = _place(target, trust)
    try:
        yield place
    finally:
        place.close()


def _place(target: Target, trust: Trust) -> UploadPlace:
    """Load only what this place needs: the engines take up to half a second each."""
    try:
        match target.kind:
            case TargetKind.FOLDER:
                from archgen.uploading.places.on_disk import FolderPlace  # noqa: PLC0415

                return FolderPlace(Path(target.address))
            case TargetKind.ZIP:
                from archgen.uploading.places.on_disk import ZipPlace  # noqa: PLC0415

                return ZipPlace(Path(target.address))
            case TargetKind.SFTP:
                from archgen.uploading.places.sftp import SftpPlace  # noqa: PLC0415

                return SftpPlace(target, password_of(target), trust, user_config_path("archgen") / "known_hosts")
            case TargetKind.S3:
                from archgen.uploading.places.s3 import S3Place  # noqa: PLC0415

                key = target.user or os.environ.get("AWS_ACCESS_KEY_ID")
                secret = password_of(target) or os.environ.get("AWS_SECRET_ACCESS_KEY")
                return S3Place(target, key, secret, os.environ.get("AWS_SESSION_TOKEN"))
            case TargetKind.WEBDAV:
                from archgen.uploading.places.webdav import WebdavPlace  # noqa: PLC0415

                return WebdavPlace(target, password_of(target))
            case TargetKind.GIT:
                from archgen.uploading.places.git import GitPlace  # noqa: PLC0415

                return GitPlace(target)
    except ImportError as error:
        raise UsageError(say(_INSTALL, name=error.name)) from error


def password_of(target: Target) -> str | None:
    """Give the password for a place: from the environment, else from the keyring; None where there is none."""
    given = os.environ.get(PASSWORD)
    if given:
        return given
    with suppress(Exception):  # no keyring, a locked one: as if there were no password
        import keyring  # noqa: PLC0415

        return keyring.get_password(_SERVICE, target.account)
    return None


def keep_password(target: Target, password: str) -> None:
    """Put a password into the keyring of the system.

    Raises:
        UsageError: There is none, or it doesn't open.
    """
    try:
        import keyring  # noqa: PLC0415

        keyring.set_password(_SERVICE, target.account, password)
    except ImportError as error:
        raise UsageError(_INSTALL) from error
    except Exception as error:
        raise UsageError(
            say(
                "The keyring of this computer can't be used. Give the password in {password} instead, for this once.",
                password=PASSWORD,
            )
        ) from error
