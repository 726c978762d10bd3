"""Reads a JUnit file with an independent parser and holds it against the JSON.

    python junit.py FILE.xml FILE.json

Needs the package junitparser (PyPI). Says what it found; exit status 1 where the two
do not tell the same.
"""

import json
import sys

from junitparser import Error, Failure, JUnitXml


def told_by_xml(path):
    """Result of every case by its name, in the order of the file."""
    results = {}
    for suite in JUnitXml.fromfile(path):
        for case in suite:
            kinds = {type(entry) for entry in case.result}
            result = "error" if Error in kinds else "fail" if Failure in kinds else "pass"
            name = f"{suite.name}/{case.name}"
            if name in results:
                sys.exit(f"two cases are called {name}")
            results[name] = result
        counts = (suite.tests, suite.failures, suite.errors)
        kinds = [results[f"{suite.name}/{case.name}"] for case in suite]
        counted = (len(kinds), kinds.count("fail"), kinds.count("error"))
        if counts != counted:
            sys.exit(f"suite {suite.name} says {counts}, its cases say {counted}")
    return list(results.values())


def main():
    xml, document = sys.argv[1:]
    with open(document, encoding="utf-8") as file:
        told = [case["result"] for case in json.load(file)["cases"]]
    read = told_by_xml(xml)
    if sorted(read) != sorted(told):
        sys.exit(f"JUnit tells {read}, JSON tells {told}")
    print(f"{len(read)} cases: {read.count('pass')} pass, {read.count('fail')} fail, "
          f"{read.count('error')} error; JUnit and JSON agree")


if __name__ == "__main__":
    main()
