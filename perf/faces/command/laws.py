"""The laws command: every law with its source, or one of them in detail."""

from __future__ import annotations

import argparse
import math
from typing import TYPE_CHECKING

from perf.faces.command.asked import Refusal
from perf.faces.text.lines import aligned, write_csv

if TYPE_CHECKING:
    from perf.base.sources import Law, Span

KNOWN = {
    "read": "read in the work itself",
    "quoted": "quoted in another work",
    "recalled": "recalled, not checked against the work",
}


def laws_options(parser: argparse.ArgumentParser) -> None:
    """The one word that may follow."""
    parser.add_argument("name", metavar="NAME", nargs="?", help="one law, in detail")


def laws(asked: argparse.Namespace) -> int:
    """List every law with its source and range, or one in detail."""
    known = all_laws()
    if asked.name is not None and asked.name not in known:
        import difflib

        near = difflib.get_close_matches(asked.name, known, n=3, cutoff=0.4)
        hint = (
            f"did you mean {' or '.join(near)}?" if near else 'see "overhump laws" for all of them'
        )
        raise Refusal("NAME", asked.name, f"no law is called that; {hint}")
    chosen = list(known.values()) if asked.name is None else [known[asked.name]]
    if asked.format == "json":
        import json

        print(
            json.dumps({"laws": [_law_dict(law) for law in chosen]}, indent=1, ensure_ascii=False)
        )
    elif asked.format == "csv":
        rows = [
            (law.name, law.title, law.source, law.locator, law.basis.value, _ranges(law))
            for law in chosen
        ]
        write_csv(("name", "title", "source", "locator", "basis", "range"), rows)
    elif asked.name is None:
        _list_laws(chosen)
    else:
        _one_law(chosen[0])
    return 0


def all_laws() -> dict[str, Law]:
    """Every law there is, once all modules that hold laws are read."""
    import importlib
    import pkgutil

    import perf.laws
    from perf.base.sources import LAWS

    for module in pkgutil.iter_modules(perf.laws.__path__):
        importlib.import_module(f"perf.laws.{module.name}")
    return dict(sorted(LAWS.items(), key=lambda named: (named[1].function.__module__, named[0])))


def _law_dict(law: Law) -> dict[str, object]:
    from perf.base.cautions import code
    from perf.base.sources import SOURCES

    return {
        "name": law.name,
        "title": law.title,
        "source": law.source,
        "source_text": SOURCES[law.source].text,
        "locator": law.locator,
        "basis": law.basis.value,
        "range": [
            {
                "symbol": s.symbol,
                "low": _end(s.low),
                "high": _end(s.high),
                "caution": code(s.caution),
            }
            for s in law.spans
        ],
    }


def _known(law: Law) -> str:
    return KNOWN.get(law.basis.value, law.basis.value)


def _ranges(law: Law) -> str:
    return "; ".join(_span(span, "") for span in law.spans)


def _span(span: Span, word: str) -> str:
    """One range in words, such as "trim_deg 2 to 15"; word stands before the lower end."""
    if math.isinf(span.high):
        return f"{span.symbol} {span.low:g} and up"
    if math.isinf(span.low):
        return f"{span.symbol} up to {span.high:g}"
    return f"{span.symbol} {word}{span.low:g} to {span.high:g}"


def _end(value: float) -> float | None:
    return value if math.isfinite(value) else None


def _list_laws(laws: list[Law]) -> None:
    print(
        f"{len(laws)} laws, each with its source, the place in it, how it is known, and its stated range"
    )
    group = ""
    for law in laws:
        module = law.function.__module__.rpartition(".")[2]
        if module != group:
            group = module
            print(f"\n{group.replace('_', ' ')}")
        said = [law.title, f"{law.source}, {law.locator} ({_known(law)})"]
        if law.spans:
            said.append(f"range: {_ranges(law)}")
        print("\n".join([f"  {law.name}", aligned([(text,) for text in said], "      ")]))


def _one_law(law: Law) -> None:
    import inspect

    from perf.base.cautions import SENTENCES
    from perf.base.sources import SOURCES

    rows = [
        ("title", law.title),
        ("source", SOURCES[law.source].text),
        ("place", law.locator),
        ("known", _known(law)),
    ]
    for span in law.spans:
        rows.append(
            (
                "range",
                f"{_span(span, 'from ')}. Outside: {SENTENCES[span.caution]}",
            )
        )
    takes = ", ".join(inspect.signature(law.function).parameters)
    print(f"{law.name}({takes})\n{aligned(rows)}\n\n{inspect.getdoc(law.function) or ''}")
