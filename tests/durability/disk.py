"""What a process did to its files, as strace saw it, and the disk as a power cut would leave it."""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from random import Random

WRITES = ("pwrite64", "ftruncate", "unlink", "rename")
SYNCS = ("fsync", "fdatasync")
NEVER_SEEN = ("pwritev", "pwritev2", "fallocate", "copy_file_range", "unlinkat", "renameat", "renameat2", "truncate")
"""Other ways to change a file: if one is used on ours, the model below is wrong and says so."""
TRACED = (*WRITES, *SYNCS, *NEVER_SEEN, "openat", "sendto")

_TEXT = r'"((?:\\x[0-9a-f]{2})*)"'
_FILE = r"\d+<((?:\\x[0-9a-f]{2})*)[^>]*>"
_CALL = re.compile(r"(\w+)\((.*)\) += (-?\d+|\?)")
_PARTS = {
    "pwrite64": re.compile(rf"{_FILE}, {_TEXT}, (\d+), (\d+)"),
    "ftruncate": re.compile(rf"{_FILE}, (\d+)"),
    "fsync": re.compile(_FILE),
    "fdatasync": re.compile(_FILE),
    "unlink": re.compile(_TEXT),
    "rename": re.compile(rf"{_TEXT}, {_TEXT}"),
    "sendto": re.compile(rf"\d+<[^>]*>, {_TEXT}"),
}


@dataclass(frozen=True)
class Call:
    """A system call that succeeded. path: the file, empty for a reply; content: bytes written or sent."""

    name: str
    path: str
    content: bytes = b""
    offset: int = 0
    target: str = ""


def calls(trace: Path, folder: Path) -> Iterator[Call]:
    """Return what was done to the files of a folder (not below it) and what was sent, in order.

    A write or a reply counts from its beginning, since it may have happened at once; a sync from its end.
    Raises ValueError for a call that the model does not know.
    """
    found: list[tuple[int, Call]] = []
    begun: dict[str, tuple[int, str]] = {}
    for number, line in enumerate(trace.read_text().splitlines()):
        process, rest = line.split(maxsplit=1)
        if rest.endswith("<unfinished ...>"):
            begun[process] = number, rest.removesuffix("<unfinished ...>").rstrip()
            continue
        start = number
        if rest.startswith("<... "):
            start, beginning = begun.pop(process)
            rest = beginning + rest.partition("resumed>")[2]
        if call := _call(rest, folder):
            found.append((number if call.name in SYNCS else start, call))
    for _, call in sorted(found, key=lambda pair: pair[0]):
        yield call


def _call(text: str, folder: Path) -> Call | None:
    """Return the call of a line of the trace, None when it failed or is about something else."""
    match = _CALL.match(text)
    if not match or match[3] in ("-1", "?"):
        return None
    name, arguments = match[1], match[2]
    if name in NEVER_SEEN or name == "openat":
        ours = str(folder).encode() in _bytes(arguments) and "shm" not in _bytes(arguments).decode("latin-1")
        if ours and (name != "openat" or "O_TRUNC" in arguments):
            raise ValueError(f"the model does not know this: {text[:400]}")
        return None
    parts = _PARTS[name].match(arguments)
    if not parts:
        raise ValueError(f"strace says something unexpected: {text[:400]}")
    if name == "sendto":
        return Call(name, "", _bytes(parts[1]))
    path = Path(_bytes(parts[1]).decode())
    if path.parent != folder or path.name.endswith("-shm"):
        return None
    match name:
        case "pwrite64":
            content = _bytes(parts[2])
            if not len(content) == int(parts[3]) == int(match[3]):
                raise ValueError(f"a write was not whole: {text[:200]}")
            return Call(name, path.name, content, int(parts[4]))
        case "ftruncate":
            return Call(name, path.name, offset=int(parts[2]))
        case "rename":
            return Call(name, path.name, target=Path(_bytes(parts[2]).decode()).name)
        case _:
            return Call(name, path.name)


def _bytes(escaped: str) -> bytes:
    """Return the bytes that strace -xx wrote as \\x escapes, other text as it is."""
    if len(escaped) % 4 == 0 and re.fullmatch(r"(?:\\x[0-9a-f]{2})*", escaped):
        return bytes.fromhex(escaped.replace("\\x", ""))
    return re.sub(rb"\\x([0-9a-f]{2})", lambda found: bytes.fromhex(found[1].decode()), escaped.encode())


@dataclass
class Disk:
    """Files as they are on the platter, and what the system still holds back of each; names are there at once."""

    durable: dict[str, bytes]
    pending: dict[str, list[Call]] = field(default_factory=dict)

    def do(self, call: Call) -> None:
        """Take a call into account."""
        match call.name:
            case "pwrite64" | "ftruncate":
                self.durable.setdefault(call.path, b"")
                self.pending.setdefault(call.path, []).append(call)
            case "fsync" | "fdatasync" if call.path in self.durable:
                self.durable[call.path] = apply(self.durable[call.path], self.pending.pop(call.path, []))
            case "unlink":
                self.durable.pop(call.path, None)
                self.pending.pop(call.path, None)
            case "rename":
                self.durable[call.target] = self.durable.pop(call.path)
                self.pending[call.target] = self.pending.pop(call.path, [])

    def after_a_cut(self, seed: Random | None = None) -> dict[str, bytes]:
        """Return the files with nothing of what is held back, or with a random half of it."""
        if seed is None:
            return dict(self.durable)
        return {
            name: apply(content, [call for call in self.pending.get(name, []) if seed.random() < 0.5])
            for name, content in self.durable.items()
        }


def apply(content: bytes, done: list[Call]) -> bytes:
    """Return a file's content after these writes."""
    changed = bytearray(content)
    for call in done:
        if call.name == "ftruncate":
            changed = changed[: call.offset].ljust(call.offset, b"\0")
        else:
            if len(changed) < call.offset:
                changed = changed.ljust(call.offset, b"\0")
            changed[call.offset : call.offset + len(call.content)] = call.content
    return bytes(changed)
