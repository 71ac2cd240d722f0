"""Quantiles and tails of the distributions behind intervals and sample sizes, by scipy.

scipy takes long to load, and most processes never estimate: it is loaded by the first number that is asked for.
Probabilities are 0 < p < 1; degrees of freedom and shapes are above 0 and need not be whole.
"""


def normal_quantile(p: float) -> float:
    """The standard normal deviate below which lies the share ``p``."""
    from scipy.special import ndtri

    return float(ndtri(p))


def t_quantile(freedom: float, p: float) -> float:
    """Student's t with so many degrees of ``freedom``, below which lies the share ``p``."""
    from scipy.special import stdtrit

    return float(stdtrit(freedom, p))


def gamma_quantile(shape: float, p: float) -> float:
    """The gamma deviate of scale 1 below which lies the share ``p``."""
    from scipy.special import gammaincinv

    return float(gammaincinv(shape, p))


def gamma_tail(shape: float, value: float) -> float:
    """The share of the gamma distribution of scale 1 above ``value``, which is 0 or more."""
    from scipy.special import gammaincc

    return float(gammaincc(shape, value))
