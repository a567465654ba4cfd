"""archgen upload."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from archgen.commands.options import archive_option, out_option, progress
from archgen.commands.speaking.yes_or_no import confirmed
from archgen.errors import ExitCode, UsageError, WithheldError
from archgen.languages.house import say

if TYPE_CHECKING:
    from archgen.config import Config
    from archgen.uploading.carry import Upload
    from archgen.uploading.place import Trust
    from archgen.uploading.target import Target


@click.command()
@click.argument("place", required=False, metavar="[PLACE]")
@archive_option
@out_option
@click.option("--dry-run", is_flag=True, help="Only list what would appear, change and go.")
@click.option("--yes", is_flag=True, help="Send without asking.")
@click.option("--replace", is_flag=True, help="With --yes: also over what archgen never sent, or sent from elsewhere.")
@click.option("--check", is_flag=True, help="Send nothing; look whether everything online is as it was built.")
@click.option("--preview", is_flag=True, help="Send nothing; show the portfolio on this computer only.")
@click.option("--password", is_flag=True, help="Ask for the password of PLACE and keep it in your computer's keyring.")
@click.option("--host-key", metavar="SHA256:…", help="The key your host names, for the first visit by sftp.")
def upload(
    place: str | None,
    root: Path,
    out: Path,
    dry_run: bool,
    yes: bool,
    replace: bool,
    check: bool,
    preview: bool,
    password: bool,
    host_key: str | None,
) -> None:
    """Put the portfolio online: build, show what would change there, ask, send, and look whether it is so.

    PLACE is a folder (also of a disk that is mounted), a zip, or an address: sftp://me@host/folder,
    davs://me@host/folder for WebDAV, s3://bucket?endpoint=https://host for S3-compatible storage,
    git+ssh://git@host/me/site.git#branch. It is remembered in archive.toml, passwords never are: they come from your
    computer's keyring (--password), from ARCHGEN_UPLOAD_PASSWORD, or from your SSH keys.

    Only what changed is sent, and only what archgen once sent is ever deleted. What may not be shown any more goes
    first. Wherever it breaks off, the site is whole; the next upload goes on. Nothing is sent in which anything private
    was found. Ends with exit code 1 when what is online is not what was built.

    \b
    Examples:
      archgen upload sftp://me@example.org/web
      archgen upload
      archgen upload --dry-run
      archgen upload portfolio.zip
    """
    from archgen.config import read_config

    config = read_config(root)
    if preview:
        _bring_up_to_date(root, out)
        _preview(root, out)
        return
    target = _target(place, config, root, out)
    if password:
        _keep_password(target)
        return
    why_held = None if check else _bring_up_to_date(root, out)
    _look_for_leaks(root, out)
    trust = _trust(host_key, sure=yes)
    if check:
        sys.exit(_look_again(target, config, out, None, trust))
    from archgen.commands.sending.upload_text import plan_lines
    from archgen.uploading.upload import prepared

    with prepared(out, target, trust, only_withdrawals=bool(why_held)) as ready:
        click.echo("\n".join(plan_lines(ready, whole=dry_run)))
        if dry_run or (ready.plan.is_empty and not ready.known.is_broken):
            sent: tuple[str, ...] = ()
        elif not _may_send(ready, sure=yes, replace=replace):
            click.echo(say("Nothing was sent."))
            return
        else:
            ready.carry_out(progress())
            sent = (*ready.plan.appears, *ready.plan.changes)
            click.echo(say("Sent."))
    if why_held:
        raise WithheldError(say("Only what may not be shown any more was taken away. {why_held}", why_held=why_held))
    if dry_run:
        return
    if place:
        _remember(root, out, config, target, sure=yes)
    sys.exit(_look_again(target, config, out, sent, trust))


def _target(place: str | None, config: "Config", root: Path, out: Path) -> "Target":
    from archgen.uploading.target import EXAMPLES
    from archgen.uploading.upload import chosen_target

    text = place or config.upload.target
    if not text:
        raise UsageError(
            say("Say where the portfolio goes: archgen upload PLACE. Such as {examples}.", examples=EXAMPLES)
        )
    return chosen_target(text, Path.cwd() if place else root, (root, out))


def _bring_up_to_date(root: Path, out: Path) -> str | None:
    """Build; give why the portfolio was not renewed, None when it was."""
    from archgen.commands.build import brought_up_to_date

    return " ".join(brought_up_to_date(root, out).kept_back) or None


def _look_for_leaks(root: Path, out: Path) -> None:
    from archgen.build import Options, look_for_leaks
    from archgen.commands.options import terminal
    from archgen.commands.texts.leaks_text import print_leaks
    from archgen.commands.texts.report_text import reaches

    report = look_for_leaks(root, out, None, Options(), progress())
    if reaches(report.findings, "error"):
        print_leaks(terminal(), report)
        raise WithheldError(say("Something private is in the portfolio, or can't be ruled out. Nothing was sent."))


def _trust(host_key: str | None, *, sure: bool) -> "Trust":
    """Give what decides about a computer that was never visited."""

    def trust(host: str, fingerprint: str) -> bool:
        if host_key or sure:
            return fingerprint == host_key
        click.echo(
            say("{host} was never visited from here. Its key is {fingerprint}", host=host, fingerprint=fingerprint)
        )
        return confirmed(say("Does your host name the same one?"))

    return trust


def _may_send(ready: "Upload", *, sure: bool, replace: bool) -> bool:
    for doubt in ready.doubts:
        click.echo(doubt)
    if not sure:
        return confirmed(say("Send it?"))
    if ready.doubts and not replace:
        raise UsageError(say("Nothing was sent. Say --replace as well if that is what you want."))
    return True


def _remember(root: Path, out: Path, config: "Config", target: "Target", *, sure: bool) -> None:
    from archgen.writing.changes import KEPT, carry_out
    from archgen.writing.upload_setting import target_change

    if config.upload.target == target.text:
        return
    change = target_change(root, target.text)
    click.echo(say('{place}\n  [upload]\n  target = "{text}"', place=change.edited[0].place(root), text=target.text))
    if sure or confirmed(say("Remember this place, so that `archgen upload` is enough from now on?")):
        carry_out(root, out / KEPT, change)


def _look_again(
    target: "Target", config: "Config", out: Path, sent: tuple[str, ...] | None, trust: "Trust"
) -> ExitCode:
    """Look at the place again; where the site's address is known, as a visitor does."""
    from archgen.commands.sending.upload_text import check_lines
    from archgen.uploading.built import built_site
    from archgen.uploading.check import all_of, check_online
    from archgen.uploading.target import TargetKind
    from archgen.uploading.upload import looked_at_again

    site, url = built_site(out), config.portfolio.url
    paths = tuple(all_of(site)) if sent is None else sent
    is_online = url is not None and target.kind is not TargetKind.ZIP
    found, where = looked_at_again(site, () if is_online else paths, target, trust, progress()), target.where
    if url and is_online and found.is_fine:
        found, where = check_online(url, site, paths, progress()), url
    click.echo("\n".join(check_lines(found, where, len(site.withdrawn - site.files.keys()))))
    return ExitCode.DONE if found.is_fine else ExitCode.FINDINGS


def _keep_password(target: "Target") -> None:
    from archgen.uploading.opening import keep_password

    keep_password(target, click.prompt(say("Password for {account}", account=target.account), hide_input=True))
    click.echo(say("It is in the keyring of your computer, and nowhere else."))


def _preview(root: Path, out: Path) -> None:
    from archgen.desk.watched_sites import WatchedSites, showing

    with showing(WatchedSites(root, out)) as (_, portfolio):
        address = say("Portfolio: {address}", address=portfolio)
        click.echo(f"{address}\n{say('Open it in your browser; only this computer sees it. Ctrl+C ends this.')}")
        _wait_to_be_stopped()


def _wait_to_be_stopped() -> None:
    import threading

    threading.Event().wait()
