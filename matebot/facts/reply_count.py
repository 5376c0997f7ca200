"""How many replies a move leaves."""

from __future__ import annotations

from matebot.facts.played import Played
from matebot.records import dataclass


@dataclass(frozen=True, slots=True)
class ReplyCount:
    """The replies.

    Attributes
    ----------
    replies, only_reply : legal replies, and the only one (SAN) when there is just one
    """

    replies: int
    only_reply: str | None

    @classmethod
    def of(cls, played: Played) -> ReplyCount:
        """Return the number of replies to a move."""
        replies = played.replies
        return cls(len(replies), played.after.san(replies[0]) if len(replies) == 1 else None)
