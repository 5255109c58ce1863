"""Build the handbook into `site/`.

python3 scripts/build.py                  build it; the first run sets everything up (about a minute)
python3 scripts/build.py --serve          build it, then serve it on this machine and print the address
python3 scripts/build.py --serve --port N ... on port N
python3 scripts/build.py --pdf ID         build it, then print the whole book of the machine ID to ID.pdf
python3 scripts/build.py --worksheet LESSON --seed N
                                          build it, then print the practice of a lesson, such as `rate`, with
                                          the figures of N, to rate-N.pdf and its key to rate-N-key.pdf
                                          (--units metric or imperial for others than US units)
python3 scripts/build.py --output DIR     build into DIR instead of `site/`
python3 scripts/build.py --renew-locks    make the lock files in scripts/locks anew (needs the network)

Needs Python 3.11 to 3.14 and, the first time only, the network. A build with mistakes in it
says where each one is and leaves the last good `site/` as it was.
"""

import os
import sys

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))

from handbook import right_python


def main(arguments: "list[str]") -> int:
    """Set up the build environment if need be and build inside it."""
    # After the check of the Python: an older one could not even read these modules.
    from handbook import console, environment

    def work() -> int:
        if arguments == ["--renew-locks"]:
            from handbook import locks

            locks.renew()
            return 0
        if "--renew-locks" in arguments:
            raise console.Stop("--renew-locks stands alone: python3 scripts/build.py --renew-locks")
        return environment.handover(environment.prepare("build"), "handbook.build", arguments)

    return console.command(arguments, __doc__, work)


if __name__ == "__main__":
    right_python.require("scripts/build.py")
    sys.exit(main(sys.argv[1:]))
