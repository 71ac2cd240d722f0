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
    sentence = _("Only %(on_hand)s are there, so %(number)s cannot go. Write %(on_hand)s or less, or record a recount.")


class NothingMoves(StockError):
    code = "nothing_moves"
    field = "number"
    sentence = _("A movement is of at least 1.")


class CountAgrees(StockError):
    """A recount found what the stock says: there is nothing to record."""

    code = "count_agrees"
    field = "number"
    sentence = _("The count stands at %(on_hand)s already: a recount that agrees changes nothing.")


class TooMany(StockError):
    code = "too_many"
    field = "number"
    sentence = _("With these the count would be %(after)s. The most that a line can hold is %(most)s.")
