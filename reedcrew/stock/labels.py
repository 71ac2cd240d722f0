"""QR codes of labels, as SVG within the page."""

import io

import segno
from django.utils.safestring import SafeString

ERROR_LEVEL = "q"  # a quarter of the code may be scratched or muddy (ISO/IEC 18004)
QUIET_ZONE = 4  # modules of white around the code (ISO/IEC 18004)


def qr_svg(address: str) -> SafeString:
    """A QR code of an address: black on white whatever the page's colours, without any style attribute."""
    drawn = io.BytesIO()
    segno.make(address, error=ERROR_LEVEL, micro=False).save(
        drawn,
        kind="svg",
        border=QUIET_ZONE,
        dark="#000",
        light="#fff",
        xmldecl=False,
        svgns=False,
        omitsize=True,
        nl=False,
        svgclass="qr",
        lineclass=None,
    )
    return SafeString(drawn.getvalue().decode())  # made from signs that segno wrote, none of them from people
