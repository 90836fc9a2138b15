"""Cost of reading sheets, as ratios within one run. Usage: python tests/benchmarks/bench_sheets.py [ROWS]

Reads ROWS rows (default 100,000) of 40 columns of CSV with the bare csv module and with `open_sheets`, and a fifth as
many rows of XLSX with bare calamine and with `open_sheets`; then the peak memory of reading a tenth and all of the CSV,
each in a process of its own (Linux).
"""

from __future__ import annotations

import csv
import random
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from statistics import median
from time import process_time

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from crosswalk.sheets import open_sheets

COLUMNS = 40
TEXTS = ["", "U-matic", "58:30", "Küste am Abend", "salt marsh; waders", "1987-04-03", "a longer text, with a comma"]
PEAK = """
import sys
from pathlib import Path
sys.path.insert(0, sys.argv[1])
from crosswalk.sheets import open_sheets
for row in open_sheets(sys.argv[2])[0].rows(): pass
status = Path("/proc/self/status").read_text()  # ru_maxrss would count the parent's memory too
print(status.partition("VmHWM:")[2].split()[0])
"""


def write_csv(path: Path, rows: int) -> None:
    """A CSV of invented inventory rows."""
    rng = random.Random(1)
    with path.open("w", newline="", encoding="utf-8") as stream:
        writer = csv.writer(stream)
        writer.writerow([f"Heading {number}" for number in range(COLUMNS)])
        writer.writerows([f"{number:07d}", *rng.choices(TEXTS, k=COLUMNS - 1)] for number in range(rows))


def write_xlsx(path: Path, rows: int) -> None:
    """A workbook whose first columns are a code under a format, a date, a number and a percentage."""
    import xlsxwriter

    rng = random.Random(1)
    with xlsxwriter.Workbook(path, {"constant_memory": True}) as book:
        sheet = book.add_worksheet("Tapes")
        code, day, share = (book.add_format({"num_format": form}) for form in ("0000", "yyyy-mm-dd", "0%"))
        sheet.write_row(0, 0, [f"Heading {number}" for number in range(COLUMNS)])
        for number in range(1, rows + 1):
            sheet.write_number(number, 0, number, code)
            sheet.write_number(number, 1, 30_000 + number % 5_000, day)
            sheet.write_number(number, 2, number / 2)
            sheet.write_number(number, 3, number % 100 / 100, share)
            sheet.write_row(number, 4, rng.choices(TEXTS, k=COLUMNS - 4))


def bare_csv(path: Path) -> None:
    """The csv module alone."""
    with path.open(newline="", encoding="utf-8") as stream:
        for _ in csv.reader(stream):
            pass


def bare_calamine(path: Path) -> None:
    """calamine alone."""
    from python_calamine import CalamineWorkbook

    for _ in CalamineWorkbook.from_path(path).get_sheet_by_index(0).iter_rows():
        pass


def ours(path: Path) -> None:
    """All rows through the door."""
    for _ in open_sheets(path)[0].rows():
        pass


def cpu_s(step: Callable[[Path], None], path: Path, rounds: int = 3) -> float:
    """Median processor seconds."""
    spent = []
    for _ in range(rounds):
        start = process_time()
        step(path)
        spent.append(process_time() - start)
    return median(spent)


def peak_kb(path: Path) -> int:
    """Peak memory of a process that reads the file."""
    root = str(Path(__file__).resolve().parents[2])
    return int(subprocess.run([sys.executable, "-c", PEAK, root, str(path)], capture_output=True, check=True).stdout)


def main(rows: int) -> None:
    """Prints the ratios."""
    with tempfile.TemporaryDirectory() as folder:
        large, small, book = (Path(folder) / name for name in ("large.csv", "small.csv", "book.xlsx"))
        write_csv(large, rows)
        write_csv(small, rows // 10)
        write_xlsx(book, rows // 5)
        bare, own = cpu_s(bare_csv, large), cpu_s(ours, large)
        print(f"CSV: {own / bare:.2f} times the bare csv module; {rows / own:,.0f} rows a second")
        bare, own = cpu_s(bare_calamine, book), cpu_s(ours, book)
        cells = rows // 5 * COLUMNS
        print(
            f"XLSX: {own / bare:.2f} times bare calamine; {cells / own:,.0f} cells a second, {cells / bare:,.0f} bare"
        )
        print(f"Peak memory, CSV: {peak_kb(small):,} kB for {rows // 10:,} rows, {peak_kb(large):,} kB for {rows:,}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 100_000)
