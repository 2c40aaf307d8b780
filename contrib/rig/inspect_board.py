"""Has the board in a place of the running bench inspected, and acts on the verdict: inspect_board.py PLACE.

Propellers off. Exit codes: 0 pass or warn, 1 fail, 3 anything else, 2 the bench refused or is away.
"""

import sys

from propsoff import BenchClient, PropsoffError

try:
    with BenchClient.find() as bench:  # on another host: BenchClient("http://bench-2.example:8423", token="...")
        report = bench.inspected(" ".join(sys.argv[1:]) or "PLACE", timeout_s=120)
except PropsoffError as error:  # refused, away, or settings that cannot be read
    sys.exit(sys.stderr.write(f"{error}\n") and 2)
failed = [finding.summary for finding in report.findings if finding.outcome == "fail"] if report else []
sys.stdout.write("\n  ".join([report.verdict if report else "no report in time", *failed]) + "\n")
sys.exit({"pass": 0, "warn": 0, "fail": 1}.get(report.verdict, 3) if report else 3)
