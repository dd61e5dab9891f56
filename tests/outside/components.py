"""What the program is built of: held to the policy in `.deny.toml`, and written down as a bill of
materials.

Licences are read by an outside parser of SPDX expressions; the bill is CycloneDX 1.6 and validated
against the standard's own schema by an outside library. Spoilt copies show that each check can fail.
Closes with "N passed, N failed".
"""

from __future__ import annotations

import copy
import json
import os
import subprocess
import sys
import tomllib
import uuid
from pathlib import Path

from cyclonedx.schema import SchemaVersion
from cyclonedx.validation.json import JsonStrictValidator
from license_expression import LicenseWithExceptionSymbol, get_spdx_licensing

from tally import Tally

REPOSITORY = Path(__file__).resolve().parents[2]
SPDX = get_spdx_licensing()


def metadata() -> dict:
    """What cargo resolves for this kind of machine, as the lock file has it."""
    host = next(
        line.split()[1]
        for line in subprocess.check_output(["rustc", "-vV"], text=True).splitlines()
        if line.startswith("host:")
    )
    command = ["cargo", "metadata", "--format-version", "1", "--locked", "--filter-platform", host]
    return json.loads(subprocess.check_output(command, cwd=REPOSITORY))


def own(told: dict) -> str:
    return told["resolve"]["root"]


def held(expression, allowed: set[str]) -> bool:
    """Whether a way through the expression needs allowed licences only."""
    kind = type(expression).__name__
    if kind == "OR":
        return any(held(one, allowed) for one in expression.args)
    if kind == "AND":
        return all(held(one, allowed) for one in expression.args)
    if isinstance(expression, LicenseWithExceptionSymbol):
        return f"{expression.license_symbol.key} WITH {expression.exception_symbol.key}" in allowed
    return expression.key in allowed


def written(licence: str) -> str:
    """An SPDX expression of what older crates write with a slash."""
    return licence.replace("/", " OR ")


def licences(told: dict, policy: dict) -> list[str]:
    allowed, faults, used = set(policy["licenses"]["allow"]), [], set()
    for package in told["packages"]:
        text = written(package["license"] or "")
        try:
            expression = SPDX.parse(text, validate=True)
        except Exception as error:  # the parser has a family of them
            faults.append(f"{package['name']}: {text!r} can't be read: {error}")
            continue
        if expression is None or not held(expression, allowed):
            faults.append(f"{package['name']} {package['version']}: {text or 'no licence'}")
        else:
            used |= {one for one in allowed if one in text}
    return faults + [f"{one} is allowed and nothing uses it" for one in sorted(allowed - used)]


def doubles(told: dict, policy: dict) -> list[str]:
    skipped = {entry["crate"]: False for entry in policy["bans"]["skip"]}
    versions: dict[str, list[str]] = {}
    for package in told["packages"]:
        name, version = package["name"], package["version"]
        match = next((s for s in skipped if f"{name}@{version}.".startswith(f"{s}.")), None)
        if match:
            skipped[match] = True
        versions.setdefault(name, []).append("" if match else version)
    faults = []
    for name, found in versions.items():
        counted = [version for version in found if version]
        if len(counted) > 1:
            faults.append(f"{name} is there as {' and '.join(sorted(counted))}")
        if "" in found and len(found) == 1:
            faults.append(f"{name} is there once: take it out of the exceptions")
    return faults + [f"{one} is an exception and not there" for one, hit in skipped.items() if not hit]


def sources(told: dict) -> list[str]:
    faults = []
    for package in told["packages"]:
        source = package["source"] or ""
        if package["id"] != own(told) and not source.startswith("registry+"):
            faults.append(f"{package['name']} comes from {source or 'a folder'}")
    for package in told["packages"]:
        if package["id"] == own(told):
            loose = [one["name"] for one in package["dependencies"] if one["req"] == "*"]
            faults += [f"{name} may be any version" for name in loose]
    return faults


def built_in(told: dict) -> list[dict]:
    """The packages that end up in the program, not those that only build or test it."""
    nodes = {node["id"]: node for node in told["resolve"]["nodes"]}
    seen, left = set(), [own(told)]
    while left:
        name = left.pop()
        if name in seen:
            continue
        seen.add(name)
        for edge in nodes[name]["deps"]:
            if any(kind["kind"] is None for kind in edge["dep_kinds"]):
                left.append(edge["pkg"])
    return [package for package in told["packages"] if package["id"] in seen]


def reference(package: dict) -> str:
    return f"pkg:cargo/{package['name']}@{package['version']}"


def bill(told: dict) -> dict:
    """A CycloneDX document of everything that is built in."""
    lock = tomllib.loads((REPOSITORY / "Cargo.lock").read_text(encoding="utf-8"))
    sums = {(one["name"], one["version"]): one.get("checksum") for one in lock["package"]}

    def component(package: dict) -> dict:
        kind = "application" if package["id"] == own(told) else "library"
        one = {
            "type": kind,
            "bom-ref": reference(package),
            "name": package["name"],
            "version": package["version"],
            "purl": reference(package),
            "licenses": [{"expression": written(package["license"])}],
        }
        checksum = sums.get((package["name"], package["version"]))
        if checksum:
            one["hashes"] = [{"alg": "SHA-256", "content": checksum}]
        return one

    packages = built_in(told)
    names = {package["id"]: reference(package) for package in packages}
    nodes = {node["id"]: node for node in told["resolve"]["nodes"]}
    edges = [
        {
            "ref": names[one],
            "dependsOn": sorted({names[edge] for edge in nodes[one]["dependencies"] if edge in names}),
        }
        for one in names
    ]
    parts = [component(package) for package in packages]
    whole = next(part for part in parts if part["type"] == "application")
    # The same parts give the same number, so two builds can be compared.
    identity = uuid.uuid5(uuid.NAMESPACE_URL, json.dumps(parts, sort_keys=True))
    return {
        "bomFormat": "CycloneDX",
        "specVersion": "1.6",
        "serialNumber": f"urn:uuid:{identity}",
        "version": 1,
        "metadata": {"component": whole},
        "components": sorted((p for p in parts if p is not whole), key=lambda p: p["bom-ref"]),
        "dependencies": sorted(edges, key=lambda edge: edge["ref"]),
    }


def validated(document: dict) -> list[str]:
    fault = JsonStrictValidator(SchemaVersion.V1_6).validate_str(json.dumps(document))
    return [] if fault is None else [str(fault)]


def missed(check, sound: dict, spoilt: dict, *more: dict) -> list[str]:
    """A fault where the check finds nothing more in the spoilt copy than in the sound one."""
    return [] if set(check(spoilt, *more)) - set(check(sound, *more)) else ["it was not found"]


def main() -> int:
    policy = tomllib.loads((REPOSITORY / ".deny.toml").read_text(encoding="utf-8"))
    told, tally = metadata(), Tally()
    tally.note(f"licences of {len(told['packages'])} packages", licences(told, policy))
    tally.note("no package twice but the exceptions", doubles(told, policy))
    tally.note("every package is from the registry and its version is bounded", sources(told))
    document = bill(told)
    tally.note(f"the bill of {len(document['components'])} parts is valid", validated(document))

    spoilt = copy.deepcopy(told)
    spoilt["packages"][3]["license"] = "AGPL-3.0-only AND MIT"
    tally.note("a licence that isn't allowed is found", missed(licences, told, spoilt, policy))
    spoilt = copy.deepcopy(told)
    spoilt["packages"].append({**spoilt["packages"][3], "version": "99.0.0"})
    tally.note("a second version is found", missed(doubles, told, spoilt, policy))
    spoilt = copy.deepcopy(told)
    spoilt["packages"][3]["source"] = "git+https://example.org/x"
    tally.note("another source is found", missed(sources, told, spoilt))
    spoilt = copy.deepcopy(document)
    del spoilt["components"][0]["name"]
    tally.note("a bill that isn't one is found", missed(validated, document, spoilt))

    target = Path(os.environ.get("CARGO_TARGET_DIR", REPOSITORY / "target"))
    (target / "bill.cdx.json").write_text(json.dumps(document, indent=1) + "\n", encoding="utf-8")
    print(f"written: {target.name}/bill.cdx.json")
    print(f"{tally.passed} passed, {tally.failed} failed")
    return 1 if tally.failed else 0


if __name__ == "__main__":
    sys.exit(main())
