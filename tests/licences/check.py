#!/usr/bin/env python3
"""Check that every crate we build on comes from crates.io under a licence that deny.toml allows.

Usage: cargo metadata --format-version 1 --all-features | check.py DENY_TOML
Stands in for cargo-deny, which is read from the same file, where that isn't installed: it costs minutes to build.
Needs Python 3.11 and the package `license-expression` from PyPI. Exit code 0 if all is allowed, else 1; 2 for wrong use.
"""

import json
import sys
import tomllib

from license_expression import AND, OR, LicenseSymbol, LicenseWithExceptionSymbol, Licensing

REGISTRY = "registry+https://github.com/rust-lang/crates.io-index"


def is_allowed(expression, allowed: set[str]) -> bool:
    if isinstance(expression, OR):
        return any(is_allowed(part, allowed) for part in expression.args)
    if isinstance(expression, AND):
        return all(is_allowed(part, allowed) for part in expression.args)
    if isinstance(expression, LicenseWithExceptionSymbol | LicenseSymbol):
        return str(expression) in allowed
    return False


def faults_of(package: dict, rules: dict) -> list[str]:
    allowed = set(rules["allow"])
    for exception in rules.get("exceptions", []):
        if exception["crate"] == package["name"]:
            allowed |= set(exception["allow"])
    said = (package["license"] or "").replace("/", " OR ")
    faults = []
    if not said or not is_allowed(Licensing().parse(said), allowed):
        faults.append(f"the licence “{said}” isn't allowed")
    if package["source"] != REGISTRY:
        faults.append(f"it comes from {package['source']}, not from crates.io")
    return faults


def main(arguments: list[str]) -> int:
    if len(arguments) != 1:
        print(__doc__, file=sys.stderr)
        return 2
    with open(arguments[0], "rb") as file:
        rules = tomllib.load(file)["licenses"]
    metadata = json.load(sys.stdin)
    ours = set(metadata["workspace_members"])
    others = [package for package in metadata["packages"] if package["id"] not in ours]
    faults = [f"{package['name']} {package['version']}: {fault}" for package in others for fault in faults_of(package, rules)]
    print("\n".join(faults) or f"{len(others)} crates, all from crates.io and under an allowed licence")
    return 1 if faults or not others else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
