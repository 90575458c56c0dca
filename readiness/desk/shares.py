"""Who may look at a job over the network: what was shared, with whom, and how it is taken back.

A share opens by its token, a word that nobody guesses. The file of shares belongs to one person on
one machine, not to the job: a job's folder goes through synced folders and mails.

Invariant: a token is told once, when it is made, and stands in no file; whoever reads the file of
shares can open nothing with it.
"""

from __future__ import annotations

import fcntl
import json
import os
import re
import secrets
import stat
from contextlib import contextmanager, suppress
from dataclasses import asdict, dataclass, fields
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING

from readiness.job.problems import JobFileError, Problem

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Sequence

SHARES_FILE = "shares.json"
SIGNS = "23456789abcdefghjkmnpqrstuvwxyz"
"""Signs that are not taken for each other, that need no quoting and break no link in a message."""
LENGTH = 32
"""31 signs to choose from, 32 times: 158 bits, more than the 122 of a random UUID."""

_ID_SIGNS = "346789ACEFGHJKMNPQRTWXY"
_ID_LENGTH = 4
_DIGEST = re.compile(r"[0-9a-f]{64}")
LARGEST_FILE_BYTES = 5_000_000
OTHERS = 0o077
"""Rights of everybody but the owner."""


@dataclass(frozen=True, slots=True)
class Share:
    """What one person may look at."""

    id: str
    """Names it when it is listed or taken back; opens nothing."""
    job: str
    """Key of the job."""
    role: str
    """Whose page and calendar it opens, as `page --for` calls them."""
    since: str
    """Day on which it was made."""
    digest: str
    """SHA-256 of its token, in hexadecimal digits."""


@dataclass(frozen=True, slots=True)
class Made:
    """A share with its token, which is not kept."""

    share: Share
    token: str


def shares_file() -> Path:
    """Return where the shares of this user stand."""
    folder = os.environ.get("XDG_STATE_HOME") or str(Path.home() / ".local" / "state")
    return Path(folder) / "readiness" / SHARES_FILE


def digest_of(token: str) -> str:
    """Return by what a token is known.

    A token is drawn from more words than anybody can try, so a quick digest without salt hides it.
    """
    return sha256(token.encode()).hexdigest()


def read_shares(file: Path) -> tuple[Share, ...]:
    """Return all shares of a file; none if there is no file.

    Raises:
        JobFileError: It can't be read, others may read it, or it does not hold shares.
    """
    try:
        with file.open("rb") as handle:
            state = os.fstat(handle.fileno())
            if not stat.S_ISREG(state.st_mode) or state.st_size > LARGEST_FILE_BYTES:
                raise _problem(file, "it is no file of shares")
            if state.st_mode & OTHERS:
                raise _problem(file, "others may read it", f"chmod 600 {file}")
            content = handle.read()
    except FileNotFoundError:
        return ()
    except OSError as error:
        raise _problem(file, f"it can't be read ({error.strerror or error})") from None
    try:
        return tuple(_share(row) for row in json.loads(content)["shares"])
    except (ValueError, KeyError, TypeError, RecursionError):
        hint = "take it away and share anew; every address given out stops working then"
        raise _problem(file, "it does not hold shares", hint) from None


def _share(row: object) -> Share:
    """Return one share of a file.

    Raises:
        ValueError: It is none.
    """
    names = {field.name for field in fields(Share)}
    if not isinstance(row, dict) or set(row) != names:
        raise ValueError
    if not all(isinstance(value, str) for value in row.values()):
        raise ValueError
    share = Share(**row)
    if not _DIGEST.fullmatch(share.digest):
        raise ValueError
    return share


def make_shares(file: Path, job: str, roles: Sequence[str], since: str) -> tuple[Made, ...]:
    """Make one share for each role and return them with their tokens.

    Args:
        file: The file of shares; made if there is none, readable for its owner only.
        job: Key of the job.
        roles: Whose pages they open.
        since: The day, as it is to be told.

    Raises:
        JobFileError: The file can't be used.
    """
    with _turn(file):
        shares = list(read_shares(file))
        made = []
        for role in roles:
            token = _drawn(SIGNS, LENGTH)
            share = Share(_unused({one.id for one in shares}), job, role, since, digest_of(token))
            shares.append(share)
            made.append(Made(share, token))
        _write(file, shares)
    return tuple(made)


def take_back(file: Path, ids: Collection[str]) -> None:
    """Take shares out of a file, so that their tokens open nothing any more.

    Raises:
        JobFileError: The file can't be used.
    """
    with _turn(file):
        _write(file, [share for share in read_shares(file) if share.id not in ids])


def _drawn(signs: str, length: int) -> str:
    return "".join(secrets.choice(signs) for _ in range(length))


def _unused(ids: Collection[str]) -> str:
    while (name := _drawn(_ID_SIGNS, _ID_LENGTH)) in ids:
        pass
    return name


@contextmanager
def _turn(file: Path) -> Iterator[None]:
    """Let nobody else change the file meanwhile.

    Raises:
        JobFileError: Its folder can't be made or used.
    """
    try:
        file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        handle = os.open(file.parent, os.O_RDONLY)
    except OSError as error:
        raise _problem(file, f"its folder can't be used ({error.strerror or error})") from None
    try:
        fcntl.flock(handle, fcntl.LOCK_EX)
        yield
    finally:
        os.close(handle)


def _write(file: Path, shares: Sequence[Share]) -> None:
    """Write the file beside its place, then move it there, so that it is always whole."""
    content = json.dumps({"shares": [asdict(share) for share in shares]}, indent=1) + "\n"
    part = file.with_name(f".{file.name}.{secrets.token_hex(4)}.part")
    try:
        handle = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with os.fdopen(handle, "w", encoding="utf-8") as open_part:
            open_part.write(content)
            open_part.flush()
            os.fsync(open_part.fileno())
        part.replace(file)
    except OSError as error:
        raise _problem(file, f"it can't be written ({error.strerror or error})") from None
    finally:
        with suppress(OSError):
            part.unlink()


def _problem(file: Path, what: str, hint: str = "nothing was written") -> JobFileError:
    return JobFileError([Problem(str(file), None, "", what, hint=hint)])
