"""What the desk shows to let a phone in, and whether what a phone sends answers it.

One invitation at a time, in memory only: it is over after ten minutes, after one phone, or when the app stops.
"""

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from enum import Enum
from hmac import compare_digest
from secrets import randbelow, token_urlsafe
from threading import Lock

VALID = timedelta(minutes=10)
TRIES = 5
"""Wrong codes, of all phones together, until the code is off; the desk then asks for a new one."""
DIGITS = 8
TOKEN_BYTES = 16


class Refusal(Enum):
    """Why a phone was not let in."""

    NOTHING_SHOWN = "nothing shown"
    WRONG = "wrong"
    CODE_OFF = "code off"


@dataclass
class Invitation:
    """secret: in the QR code; code: to type; until: when both are over; is_taken: by the phone that holds token."""

    until: datetime
    secret: str = field(default_factory=lambda: token_urlsafe(TOKEN_BYTES), repr=False)
    code: str = field(default_factory=lambda: f"{randbelow(10**DIGITS):0{DIGITS}}", repr=False)
    wrong_tries: int = 0
    token: str = field(default="", repr=False)
    form_key: str = field(default="", repr=False)
    taken_by: str = ""

    @property
    def tries_left(self) -> int:
        return TRIES - self.wrong_tries

    @property
    def is_taken(self) -> bool:
        return self.token != ""


class Pairing:
    """The invitation that stands now, if one does."""

    def __init__(self) -> None:
        self._lock = Lock()
        self._invitation: Invitation | None = None

    def invite(self, now: datetime) -> Invitation:
        """Make an invitation, in the place of an older one, and return it."""
        with self._lock:
            self._invitation = Invitation(now + VALID)
            return self._invitation

    def stop(self) -> None:
        """End the invitation that stands."""
        with self._lock:
            self._invitation = None

    def standing(self, now: datetime) -> Invitation | None:
        """Return the last invitation until its time is over, also when it is taken."""
        invitation = self._invitation
        return invitation if invitation and now < invitation.until else None

    def fits(self, secret: str, now: datetime) -> bool:
        """Whether this is the secret of an invitation that no phone has taken."""
        invitation = self.standing(now)
        return invitation is not None and not invitation.is_taken and _same(invitation.secret, secret)

    def answer(
        self, now: datetime, *, name: str, secret: str = "", code: str = "", form_key: str = ""
    ) -> str | Refusal:
        """Return what the phone is to hold from now on, or why it is not let in.

        The first right answer takes the invitation; the same form sent again gets the same reply.
        """
        with self._lock:
            invitation = self.standing(now)
            if invitation is None:
                return Refusal.NOTHING_SHOWN
            if invitation.is_taken:
                again = form_key and _same(invitation.form_key, form_key)
                return invitation.token if again else Refusal.NOTHING_SHOWN
            if not _same(invitation.secret, secret):
                if secret and not code:
                    return Refusal.NOTHING_SHOWN
                if invitation.tries_left <= 0:
                    return Refusal.CODE_OFF
                if not _same(invitation.code, code):
                    invitation.wrong_tries += 1
                    return Refusal.WRONG if invitation.tries_left else Refusal.CODE_OFF
            invitation.token, invitation.form_key, invitation.taken_by = token_urlsafe(TOKEN_BYTES), form_key, name
            return invitation.token


def _same(held: str, given: str) -> bool:
    """Whether two secrets are the same, in a time that does not tell how far they agree."""
    return compare_digest(held.encode(), given.encode())
