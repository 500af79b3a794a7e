"""Fuzzes the reader, the theory, the fits and the engraving, and says which trials fail.

    python -m tests.fuzz [--entries 20000] [--scores 5000] [--seed 1] [--workers 2] [--begin 0]
    python -m tests.fuzz --case entry:1234 --seed 1 [--show]

Ends with 1 where a trial ends in a traceback, takes more than five seconds of its processor, or
takes its process along. A run that is stopped by Ctrl-C says how far it was, to be gone on with.
"""

from __future__ import annotations

import argparse
import sys
from collections import Counter
from contextlib import suppress
from time import monotonic

from tests.fuzz.mutations import mutated_entry, mutated_score
from tests.fuzz.runner import Case, run, run_all


def main() -> int:
    """Runs the trials that are asked for."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--entries", type=int, default=20_000, help="how many spoilt entries")
    parser.add_argument("--scores", type=int, default=5_000, help="how many spoilt score files")
    parser.add_argument("--seed", type=int, default=1, help="another seed gives other trials")
    parser.add_argument("--workers", type=int, default=2, help="processes")
    parser.add_argument("--begin", type=int, default=0, help="how many trials to pass over")
    parser.add_argument("--case", help="one trial alone, as it was reported: entry:1234")
    parser.add_argument("--show", action="store_true", help="print what the trial is made of")
    options = parser.parse_args()
    if options.case:
        return _one(options)
    cases = [Case("entry", number, options.seed) for number in range(options.entries)]
    cases += [Case("score", number, options.seed) for number in range(options.scores)]
    # Both kinds side by side, so that a run that is stopped has seen of both.
    share = {"entry": options.entries, "score": options.scores}
    cases.sort(key=lambda case: (case.number / share[case.kind], case.kind))
    begun = monotonic()
    came: Counter[str] = Counter()
    seen: Counter[str] = Counter()
    with suppress(KeyboardInterrupt):
        for case, what, report in run_all(cases[options.begin :], options.workers):
            came[f"{case.kind} {what}"] += 1
            if report:
                seen[report.splitlines()[-1][:100]] += 1
                print(f"== {case.kind}:{case.number} --seed {case.seed}\n{report}", flush=True)
            done = options.begin + sum(came.values())
            if done % 1000 == 0:
                print(f"{done} of {len(cases)}, {monotonic() - begun:.0f} s", file=sys.stderr)
    done = options.begin + sum(came.values())
    if done < len(cases):
        print(f"stopped: go on with --begin {max(0, done - options.workers)}")
    for what, count in sorted(came.items()):
        print(f"{what:>16} {count:>6}")
    for what, count in seen.most_common():
        print(f"{count:>6} × {what}")
    return 1 if seen else 0


def _one(options: argparse.Namespace) -> int:
    kind, _, number = options.case.partition(":")
    case = Case(kind, int(number), options.seed)
    if options.show:
        name, data = (mutated_entry if kind == "entry" else mutated_score)(case.number, case.seed)
        print(name)
        sys.stdout.buffer.write(data + b"\n")
        sys.stdout.flush()
    what, report = run(case)
    print(what, report)
    return 1 if report else 0


if __name__ == "__main__":
    sys.exit(main())
