"""Why something about the stock is refused."""

from django.utils.translation import gettext_lazy as _

from reedcrew.web.errors import ReedcrewError


class StockError(ReedcrewError):
    """Base of this app's refusals."""


class LineExists(StockError):
    code = "line_exists"
    field = "item"
    sentence = _("“%(line)s” is in the stock already: record there what came in.")


class SizeUnfit(StockError):
    """A size that the item does not come in."""

    code = "size_unfit"
    field = "size"
    sentence = _("“%(item)s” comes in these sizes: %(sizes)s. Choose one of them.")


class SizeNeedless(StockError):
    code = "size_needless"
    field = "size"
    sentence = _("“%(item)s” has no sizes: choose “no size”.")


class NotSoMany(StockError):
    """A movement would take more than there is."""

    code = "not_so_many"
    field = "number"
    sentence = _(
        "Of “%(line)s” only %(on_hand)s are %(place)s, so %(number)s cannot go. Write %(on_hand)s or less, or record "
        "a recount."
    )


class NothingMoves(StockError):
    code = "nothing_moves"
    field = "number"
    sentence = _("A movement is of at least 1.")


class NothingChosen(StockError):
    code = "nothing_chosen"
    sentence = _("Choose at least one piece.")


class CountAgrees(StockError):
    """A recount found what the stock says: there is nothing to record."""

    code = "count_agrees"
    field = "number"
    sentence = _("The count stands at %(on_hand)s already: a recount that agrees changes nothing.")


class TooMany(StockError):
    code = "too_many"
    field = "number"
    sentence = _("With these the count would be %(after)s. The most that a line can hold is %(most)s.")


class SentAlready(StockError):
    """The token of a form came again with other words: nothing is dropped unseen."""

    code = "sent_already"
    sentence = _(
        "This form was recorded already, with other words or figures, and those stand. Open the page again to record "
        "more."
    )


class SetElsewhere(StockError):
    """A set cannot go from where it is not."""

    code = "set_elsewhere"
    sentence = _("“%(set)s” is now: %(place)s. So it can't be recorded as: %(kind)s. Open the page again.")


class SetNotReady(StockError):
    code = "set_not_ready"
    field = "gear_set"
    sentence = _("“%(set)s” can't be handed out: %(place)s. Only gear in stock, clean and dry, is handed out.")


class SetNotCleaned(StockError):
    """Design, rule 7: gear is cleaned before it leaves for another site."""

    code = "set_not_cleaned"
    field = "gear_set"
    sentence = _("“%(set)s” was used at another site and is not cleaned yet: clean and dry it first.")


class SetBooked(StockError):
    code = "set_booked"
    field = "gear_set"
    sentence = _("“%(set)s” is booked for “%(title)s”, which overlaps this day: choose another one.")


class LoanDueBefore(StockError):
    code = "loan_due_before"
    field = "gear_set"
    sentence = _("“%(set)s” goes back to %(party)s before this day.")


class NotOut(StockError):
    """More would come back than went out."""

    code = "not_out"
    field = "number"
    sentence = _("%(name)s has %(out)s of “%(line)s”, so %(number)s cannot come back. Write %(out)s or less.")


class LoanNotSoMany(StockError):
    code = "loan_not_so_many"
    field = "number"
    sentence = _("Of this loan %(open)s are still out, so %(number)s cannot go back. Write %(open)s or less.")


class LoanDueInPast(StockError):
    code = "loan_due_in_past"
    field = "due_on"
    sentence = _("This day is past: give the day on which the gear is to be returned.")


class StaleSet(StockError):
    code = "stale_set"
    sentence = _("Somebody changed this set meanwhile. Compare what is saved now, then save again.")
