"""Shear areas of thin-walled sections from the work of the shear flow."""

from refledge.typed import Floats


def shear_area(
    height: Floats,
    thickness: Floats,
    webs: float,
    outstand: Floats,
    upper: Floats,
    lower: Floats,
    flange: Floats | float = 1.0,
) -> Floats:
    """Shear area (m2) of ``webs`` equal webs, each with a flange outstand at its two ends.

    Mid-line sizes in m: web ``height`` and ``thickness``; every web has at its upper and lower end
    a flange of length ``outstand`` (a free end or a plane of symmetry beyond it, where the shear
    flow is zero) and thickness ``upper`` and ``lower``. The flow is V S / I from the free ends; the
    shear area is I^2 over the integral of flow squared over thickness (Timoshenko, Strength of
    Materials, strain energy of shear). For a closed box this equals the shear coefficient of
    Cowper, The Shear Coefficient in Timoshenko's Beam Theory (1966), thin-walled box, at nu = 0.
    ``flange``: work of the flanges over that of the same flow at the web's modulus; 0: left out.
    """
    web = height * thickness
    above, below = outstand * upper, outstand * lower
    z = (web * height / 2 + below * height) / (web + above + below)  # below the upper flange
    far = height - z
    second = web * (height**2 / 12 + (height / 2 - z) ** 2) + above * z**2 + below * far**2
    start, slope, curve = above * z, thickness * z, thickness / 2
    inside = (
        start**2 * height
        + start * slope * height**2
        + (slope**2 - 2 * start * curve) * height**3 / 3
        - slope * curve * height**4 / 2
        + curve**2 * height**5 / 5
    ) / thickness
    flanges = (above * z**2 + below * far**2) * outstand**2 / 3
    return webs * second**2 / (inside + flange * flanges)
