"""Makes objects.csv from the OpenNGC table that the Python package PyOngc 1.2.2 carries.

    python3 derive.py PATH/TO/pyongc/ongc.db > objects.csv

Kept: every Messier object, what is brighter than V 12 (or B 12.6 where V is unknown), and nebulae
and clusters at least 5' across whose brightness is unknown; of objects outside NGC and IC only the
few large clusters and the Magellanic Cloud that people look at with small telescopes.
"""

import csv
import math
import re
import sqlite3
import sys

KINDS = {
    "G": "galaxy",
    "GPair": "galaxy",
    "GTrpl": "galaxy",
    "GGroup": "galaxy",
    "OCl": "open cluster",
    "*Ass": "open cluster",
    "Cl+N": "cluster with nebula",
    "GCl": "globular",
    "PN": "planetary nebula",
    "HII": "nebula",
    "EmN": "nebula",
    "RfN": "nebula",
    "Neb": "nebula",
    "SNR": "supernova remnant",
    "Other": "asterism",
}
LARGE = {"nebula", "supernova remnant", "cluster with nebula", "open cluster"}
OUTSIDE = {"Mel022": "Mel 22", "Mel111": "Mel 111", "Cl399": "Cr 399", "C041": "Mel 25", "ESO056-115": "LMC"}


def kept(row, kind):
    if row["messier"]:
        return True
    if row["notngc"]:
        return row["name"] in OUTSIDE
    if row["type"] == "Other":
        return False
    if row["vmag"] is not None:
        return row["vmag"] <= 12
    if row["bmag"] is not None:
        return row["bmag"] <= 12.6
    return kind in LARGE and (row["majax"] or 0) >= 5


def name(text):
    if text in OUTSIDE:
        return OUTSIDE[text]
    found = re.fullmatch(r"(NGC|IC)0*(\d+)(.*)", text)
    return f"{found[1]} {found[2]}{' ' + found[3].strip() if found[3] else ''}"


def main():
    connection = sqlite3.connect(sys.argv[1])
    connection.row_factory = sqlite3.Row
    out = csv.writer(sys.stdout, lineterminator="\n")
    out.writerow("name messier kind ra_deg dec_deg constellation major_arcmin minor_arcmin angle_deg v_mag b_mag called".split())
    blank = lambda value: "" if value is None else f"{value:g}"
    for row in connection.execute("SELECT * FROM objects ORDER BY ra, name"):
        kind = KINDS.get(row["type"])
        if kind is None or row["ra"] is None or not kept(row, kind):
            continue
        messier = f"M {int(row['messier'])}" if row["messier"] else ""
        called = (row["commonnames"] or "").split(",")[0]
        out.writerow([
            name(row["name"]), messier, kind,
            f"{math.degrees(row['ra']):.5f}", f"{math.degrees(row['dec']):.5f}", row["const"] or "",
            blank(row["majax"]), blank(row["minax"]), blank(row["pa"]),
            blank(row["vmag"]), blank(row["bmag"]), called,
        ])


main()
