"""Prints the most memory (resident, MiB) the program needs: the demo, and a check of each sample job."""

import pathlib
import subprocess
import sys
import tempfile


def peak(args: list[str]) -> float:
    """Most resident memory of one run, MiB, measured in a process of its own."""
    code = (
        "import resource,subprocess,sys;"
        "subprocess.run(sys.argv[1:],stdout=subprocess.DEVNULL,stderr=subprocess.DEVNULL);"
        "print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss)"
    )
    out = subprocess.run([sys.executable, "-c", code, *args], capture_output=True, text=True, check=True)
    return int(out.stdout) / 1024


def main() -> None:
    program = str(pathlib.Path(sys.argv[1]).resolve())
    with tempfile.TemporaryDirectory() as folder:
        print(f"demo: {peak([program, 'demo', '-o', folder + '/demo']):.1f} MiB")
    for job in sorted(pathlib.Path("hangar").glob("*/job.toml")):
        print(f"check {job}: {peak([program, 'check', str(job)]):.1f} MiB")


if __name__ == "__main__":
    main()
