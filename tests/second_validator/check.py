#!/usr/bin/env python3
"""Validate files of the neutral format against its schema with a second, independent validator.

Usage: check.py SCHEMA FILE...
Needs the package `jsonschema` from PyPI (4.x). Exit code 0 if every file is valid, 1 if one is not, 2 for wrong use.
"""

import json
import sys

from jsonschema import Draft202012Validator


def main(arguments: list[str]) -> int:
    if len(arguments) < 2:
        print(__doc__, file=sys.stderr)
        return 2
    with open(arguments[0], encoding="utf-8") as file:
        schema = json.load(file)
    Draft202012Validator.check_schema(schema)
    validator = Draft202012Validator(schema)
    faults = 0
    for path in arguments[1:]:
        with open(path, encoding="utf-8") as file:
            errors = list(validator.iter_errors(json.load(file)))
        for error in errors:
            print(f"{path}: {error.json_path}: {error.message}", file=sys.stderr)
        faults += len(errors)
        print(f"{path}: {'invalid' if errors else 'valid'}")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
