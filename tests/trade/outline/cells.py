"""The area of cells of the graticule in closed form, to judge areas on the ellipsoid by."""

import math

# WGS 84 (NIMA TR8350.2): semi-major axis and flattening.
A_M, F = 6378137.0, 1 / 298.257223563
E2 = F * (2 - F)


def area_to_equator_m2(lat_deg, width_deg):
    """Ellipsoid area between the equator and a parallel, closed form: A = a² Δλ q / 2.

    q is that of Snyder, Map Projections: A Working Manual (USGS Professional Paper 1395), equation 3-12 (from memory).
    """
    e, s = math.sqrt(E2), math.sin(math.radians(lat_deg))
    q = (1 - E2) * (s / (1 - E2 * s * s) - math.log((1 - e * s) / (1 + e * s)) / (2 * e))
    return A_M * A_M * math.radians(width_deg) * q / 2
