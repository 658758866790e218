"""One process has a database file at a time, on a disk of this machine."""

import fcntl
import os
import re
from contextlib import suppress
from pathlib import Path
from typing import BinaryIO

from webapp.store.check import CannotOpen, InUse

NETWORK_FILE_SYSTEMS = frozenset(
    ("9p", "afs", "ceph", "cifs", "coda", "fuse", "lustre", "ncpfs", "nfs", "nfs4", "smb3", "smbfs")
)
"""Where locks or shared memory may not work, so that a write-ahead log can damage the file; `fuse.*` as well."""


def lock(path: Path) -> BinaryIO:
    """Return the held lock file beside the database, made with its folder; closing it lets go.

    Raises InUse when another process holds it, CannotOpen when the place is not fit for a database.
    """
    mounts = ""
    with suppress(OSError):
        mounts = Path("/proc/mounts").read_text(errors="surrogateescape")
    if system := network_file_system(path.resolve(), mounts):
        raise CannotOpen(
            f"{path} lies on a network drive ({system}), where a database can be damaged. "
            "Choose a folder on this machine with --data."
        )
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        held = open(path.with_name(path.name + ".lock"), "ab")  # noqa: SIM115
    except OSError as error:
        raise CannotOpen(
            f"Cannot write in {path.parent}: {error.strerror}. Choose another folder with --data."
        ) from error
    try:
        fcntl.flock(held, fcntl.LOCK_EX | fcntl.LOCK_NB)
        _refuse_read_only(path)
    except BlockingIOError:
        held.close()
        raise InUse(f"{path} is already open in another Benchday. Use that one, or stop it first.") from None
    except BaseException:
        held.close()
        raise
    return held


def _refuse_read_only(path: Path) -> None:
    for place in (path, path.parent):
        if place.exists() and not os.access(place, os.W_OK, effective_ids=True):
            raise CannotOpen(f"{place} is read-only. Make it writable, or choose another folder with --data.")


def network_file_system(path: Path, mounts: str) -> str:
    """Return the name of the network file system that a path lies on, empty when it is on this machine.

    mounts: the text of /proc/mounts. The root of the system counts as local: in a container it can look like anything.
    """
    found, longest = "", 1
    for line in mounts.splitlines():
        _, point, kind, *_ = (*line.split(" "), "", "")
        place = re.sub(r"\\([0-7]{3})", lambda octal: chr(int(octal[1], 8)), point)
        if len(place) >= longest and place != "/" and path.is_relative_to(place):
            found, longest = kind, len(place)
    return found if found in NETWORK_FILE_SYSTEMS or found.startswith("fuse.") else ""
