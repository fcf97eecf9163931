"""How long books take to be read, and how much memory: python tests/bench/manuscript_speed.py

A book of 300 pages is made of the demo columns, over and over: .docx, .odt, HTML, LaTeX and, where LibreOffice is
installed, PDF and .rtf. Only reading is measured (from the file to its text), each kind in a process of its own.
"""

import re
import subprocess
import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "manuscripts"))

import office
from keyproof.linter.sources import kind_of, read

DEMO = Path(__file__).parents[2] / "corpus" / "demo"
CHARACTERS = 300 * 2_400  # of text: a page of a book of problems

PROGRAM = """
import resource, sys, time
from keyproof.linter.sources import read
start = time.perf_counter()
document = read(sys.argv[1])
took = time.perf_counter() - start
used = [resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]
own, other = (each.ru_maxrss // 1024 for each in used)
print(len(document.text), took, sum(each.ru_utime + each.ru_stime for each in used), own, other)
"""


def main() -> None:
    """Make the book, read it in each kind, print the table."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        texts = [read(path) for path in sorted(DEMO.iterdir()) if kind_of(path.name) in ("text", "markdown")]
        pages, sources, size = [], [], 0
        while size < CHARACTERS:
            for text in texts:
                page = office.as_html(text, breaks=True)
                pages.append(re.sub(r"(?s)^.*?<body>|</body>.*$", "", page))
                sources.append(re.sub(r"(?s)^.*?\\begin\{document\}|\\end\{document\}.*$", "", office.as_latex(text)))
                size += len(text.text)
        book = folder / "book.html"
        book.write_text(f'<html><head><meta charset="utf-8"></head><body>{"".join(pages)}</body></html>', "utf-8")
        source = folder / "book.tex"
        source.write_text(f"\\begin{{document}}{''.join(sources)}\\end{{document}}", "utf-8")
        files = [book, source]
        if office.SOFFICE is not None:
            for kind in ("docx", "odt", "rtf", "pdf"):
                files += office.converted([book], kind, folder, reading=office.WEB)
        print("| kind | file, MB | characters | s | of the processor, s | memory, MB |\n|---|---|---|---|---|---|")
        for path in files:
            done = subprocess.run(
                [sys.executable, "-c", PROGRAM, str(path)], capture_output=True, text=True, check=True
            )
            count, took, processor, own, other = done.stdout.split()
            memory = f"{own} + {other}" if path.suffix == ".pdf" else own
            print(
                f"| {path.suffix} | {path.stat().st_size / 1e6:.1f} | {int(count):,} | {float(took):.1f} "
                f"| {float(processor):.1f} | {memory} |"
            )


if __name__ == "__main__":
    main()
