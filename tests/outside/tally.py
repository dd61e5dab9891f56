"""What held and what did not."""

from __future__ import annotations


class Tally:
    """Counts what held and what did not, and prints both."""

    def __init__(self) -> None:
        self.passed = self.failed = 0

    def note(self, name: str, found: list[str]) -> None:
        if found:
            self.failed += 1
            print(f"FAILED {name}")
            for fault in found[:10]:
                print(f"    {fault}")
        else:
            self.passed += 1
            print(f"ok     {name}")
