"""Random questions about random shelves, in a club's proportions and on the grid in which gear is
made. The same seed gives the same question."""

from __future__ import annotations

import random

# Aperture and focal length in mm, layout, obstruction as a share of the aperture.
_TELESCOPES = [
    (70, (400, 500, 700, 900), "refractor", 0.0),
    (80, (400, 480, 600), "refractor", 0.0),
    (102, (500, 660, 714, 1000), "refractor", 0.0),
    (114, (450, 500, 900), "newtonian", 0.30),
    (130, (650, 900), "newtonian", 0.28),
    (150, (750, 1200), "newtonian", 0.26),
    (203, (1000, 1200), "newtonian", 0.25),
    (254, (1200, 1250), "newtonian", 0.24),
    (305, (1500,), "newtonian", 0.23),
    (406, (1830,), "newtonian", 0.21),
    (127, (1270, 1500), "schmidt_cassegrain", 0.37),
    (203, (2032,), "schmidt_cassegrain", 0.34),
    (127, (1500, 1900), "maksutov_cassegrain", 0.31),
    (180, (2700,), "maksutov_cassegrain", 0.29),
]

# Class, apparent fields in degrees, eye relief as a share of the focal length.
_CLASSES = [
    ("two_lens", (30, 40), 0.3),
    ("three_element", (40, 45), 0.3),
    ("four_element", (45, 50, 52), 0.7),
    ("wide_field", (60, 66, 70, 82, 100), None),
]

_FOCAL_LENGTHS = (3, 3.5, 4, 5, 6, 6.5, 7, 8, 9, 10, 12, 12.5, 15, 17, 20, 25, 30, 32, 35, 40, 50)


def question(items: int, telescopes: int, seed: int) -> dict:
    """The body of a request about ``items`` pieces, so many of them telescopes."""
    roll = random.Random(seed)
    barlows = max(1, items // 12)
    body = {
        "observer": _observer(roll),
        "telescopes": [_telescope(roll, f"t{at}") for at in range(telescopes)],
        "eyepieces": [_eyepiece(roll, f"e{at}") for at in range(items - telescopes - barlows)],
        "barlows": [_barlow(roll, f"b{at}") for at in range(barlows)],
        "max_eyepieces": roll.choice((2, 3, 4, 5, 5)),
        "max_barlows": roll.choice((0, 1, 1, 1)),
        "limit": telescopes,
        "explain": "matrix",
    }
    for kind in ("telescopes", "eyepieces", "barlows"):
        roll.shuffle(body[kind])
    return body


def _observer(roll: random.Random) -> dict:
    if roll.random() < 0.2:
        return {"anyone": True}
    observer: dict = {
        "age_years": roll.randint(8, 84),
        "glasses": roll.choice(("none", "takes_off", "keeps_on")),
    }
    if observer["glasses"] != "none" and roll.random() < 0.6:
        observer["sphere_d"] = round(roll.uniform(-6, 4) * 4) / 4
        observer["cylinder_d"] = round(roll.uniform(-3, 0) * 4) / 4
    if roll.random() < 0.3:
        observer["seeing_arcsec"] = roll.choice((1.0, 1.5, 2.0, 3.0, 4.0))
    return observer


def _telescope(roll: random.Random, name: str) -> dict:
    aperture, focal_lengths, layout, share = roll.choice(_TELESCOPES)
    return {
        "id": name,
        "layout": layout,
        "aperture_mm": aperture,
        "focal_length_mm": roll.choice(focal_lengths),
        "central_obstruction_mm": round(aperture * share),
        "focuser_barrel_mm": 50.8 if aperture > 150 and roll.random() < 0.7 else 31.75,
        "tracking": roll.random() < 0.3,
    }


def _eyepiece(roll: random.Random, name: str) -> dict:
    optical_class, fields, share = roll.choice(_CLASSES)
    focal_length = roll.choice(_FOCAL_LENGTHS)
    relief = roll.choice((12, 15, 17, 20)) if share is None else min(share * focal_length, 25)
    eyepiece = {
        "id": name,
        "focal_length_mm": focal_length,
        "apparent_field_deg": roll.choice(fields),
        "eye_relief_mm": round(max(relief, 1.5), 1),
        "barrel_mm": 50.8 if focal_length >= 30 and roll.random() < 0.5 else 31.75,
        "optical_class": optical_class,
        "mass_g": roll.choice((40, 60, 90, 120, 180, 250, 400, 600)),
    }
    # A cupboard holds pieces that nobody has measured.
    if roll.random() < 0.05:
        del eyepiece["eye_relief_mm"]
    return eyepiece


def _barlow(roll: random.Random, name: str) -> dict:
    return {
        "id": name,
        "factor": roll.choice((1.5, 2.0, 2.0, 2.25, 2.5, 3.0)),
        "barrel_mm": roll.choice((31.75, 31.75, 50.8)),
        "mass_g": roll.choice((80, 120, 200)),
    }
