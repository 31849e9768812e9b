#!/usr/bin/env python3
"""What `backfield runways` prints, byte for byte."""
import sys

from printed import compare, printed

CASES = ["demo"]

if __name__ == "__main__":
    sys.exit(compare("runways", ((name, printed(name, "runways", f"cases/{name}/case.yaml")) for name in CASES)))
