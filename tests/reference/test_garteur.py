"""GARTEUR SM-AG19 test-bed: an aluminium model of an aeroplane, free in space.

GARTEUR TP-115, Ground Vibration Test Techniques (1999); Balmes and Wright, GARTEUR Group on Ground
Vibration Testing, ASME DETC 1997. Inputs of the idealised model in garteur.json, transcribed from
the open package pystran (its MIT-licensed tutorial 19), which also gives its frequencies (READ,
RUN; C1.21). Verification: the idealised model's figures within 0.5 %, on its mesh of one element a
member, with its torsion constants (table coefficients 0.263, 0.312) and no shear. Validation: the
measured frequencies differ by -13 % to +19 % because the model leaves out the damping layer; only
that they do not differ by more is asserted.

Every rigid link of the model is an end offset here, and the drum masses hang on offsets.
"""

import json
from pathlib import Path

import numpy as np

from refledge.analysis.beam import BeamFrame, PointMass, modes, rigid_body_mass

DATA = json.loads((Path(__file__).parent / "garteur.json").read_text(encoding="utf-8"))
SIZES = {
    "body": (150, 50),
    "wing": (10, 100),
    "drum": (10, 100),
    "fin": (100, 10),
    "tailplane": (10, 100),
}
TORSION = {"body": 0.263 * 150 * 50**3}
PLATE_TORSION = 0.312 * 100 * 10**3
# The joint that carries each joint at the far end of a rigid link.
CARRIER = {"4": "2", "15": "5", "16": "6", "11": "3", "17": "12", "20": "9", "19": "7"}


def garteur() -> BeamFrame:
    """In newtons, millimetres and tonnes, as transcribed."""
    place = {name: np.array(xyz, float) for name, xyz in DATA["joints"].items()}
    kept = [name for name in place if name not in CARRIER]
    number = {name: i for i, name in enumerate(kept)}

    def stand(joint):
        node = CARRIER.get(joint, joint)
        return number[node], place[joint] - place[node]

    rows = []
    for key, pairs in DATA["members"].items():
        kind = "fin" if key.startswith("tail(") else key
        for a, b in pairs:
            rows.append((kind, stand(str(a)), stand(str(b))))
    masses = []
    for joint, body in DATA["point_masses_tonne"].items():
        node, offset = stand(joint)
        masses.append(PointMass(node, body["m"], body.get("I", 0.0) * np.eye(3), offset))
    return build(np.array([place[name] for name in kept]), rows, tuple(masses))


def build(nodes, rows, masses):
    height, width = np.array([SIZES[kind] for kind, _, _ in rows], float).T
    Iy, Iz, area = width * height**3 / 12, height * width**3 / 12, width * height
    E, rho, m = DATA["E"], DATA["rho"], len(rows)
    fin = np.array([kind == "fin" for kind, _, _ in rows])
    return BeamFrame(
        nodes=nodes,
        elements=np.array([[a[0], b[0]] for _, a, b in rows]),
        E=np.full(m, E),
        G=np.full(m, E / (2 * (1 + DATA["nu"]))),
        A=area,
        Iy=Iy,
        Iz=Iz,
        J=np.array([TORSION.get(kind, PLATE_TORSION) for kind, _, _ in rows]),
        Ay=np.full(m, np.inf),
        Az=np.full(m, np.inf),
        mass_per_length=rho * area,
        rotary_x=rho * (Iy + Iz),
        rotary_y=np.zeros(m),
        rotary_z=np.zeros(m),
        z_axis=np.where(fin[:, None], [1.0, 0, 0], [0.0, 0, 1.0]),
        offsets=np.array([[a[1], b[1]] for _, a, b in rows]),
        masses=masses,
    )


def test_idealised_model_within_half_a_percent():
    found, _ = modes(garteur(), 8)
    np.testing.assert_allclose(found, DATA["model_result_Hz_modes7to14"], rtol=5e-3)


def test_measured_frequencies_within_the_stated_gap():
    found, _ = modes(garteur(), 8)
    error = found / np.array(DATA["measured_participant_C_Hz"]) - 1
    assert -0.13 < error.min() < -0.11
    assert 0.17 < error.max() < 0.19


def test_mass_equals_members_plus_lumps():
    """Volumes times density plus the lumps, by hand, t."""
    volume = 150 * 50 * 1500 + 10 * 100 * (2000 + 800 + 300 + 400)
    lumps = 2 * 0.0002 + 0.00114296 + 0.00035325
    np.testing.assert_allclose(rigid_body_mass(garteur()).mass, 2.7e-9 * volume + lumps, rtol=1e-6)
