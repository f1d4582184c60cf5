"""What it rests on: how the laws are known, what limits the answer, what was assumed, the sources."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable

import pandas as pd
import streamlit as st

from perf.base.cautions import SENTENCES
from perf.base.sources import SOURCES, Law
from perf.faces.command.laws import KNOWN, all_laws
from perf.faces.dashboard import parts
from perf.faces.dashboard.aboard import aboard
from perf.faces.dashboard.answers import answer_for
from perf.faces.dashboard.words import plain

# What each module of laws is about, in words of the trade; another module goes by its own name.
ABOUT = {
    "bracket_flow": "water about a bracket",
    "cockpit": "water in the cockpit",
    "drive_lift": "side force of a trimmed drive",
    "dry_chines": "planing with dry chines",
    "engine": "engine power and fuel",
    "finance": "money over the years",
    "flaps": "trim tabs and warped bottoms",
    "fuel_table": "the owner's own fuel table",
    "hull_lines": "shape of the hull",
    "hump": "getting over the hump",
    "hydrostatics": "afloat at rest",
    "join": "where the methods meet",
    "lower_unit": "drag of the drive leg",
    "preplaning": "before she planes",
    "rules": "what the law and the plate say",
    "seaway": "waves",
    "semiplaning": "between floating and planing",
    "series": "families of towed models",
    "shallow": "shallow water",
    "tabulated": "tables of towed models",
    "technology": "kinds of engine and fuel",
    "steering": "steering pull",
    "thumb": "rules of thumb",
    "transom_loads": "load on the transom",
    "wake": "water behind the transom",
    "wetted": "wetted bottom",
}
OURS = {"own": "our own work", "trade": "the trade"}


def show_page() -> None:
    """The whole page; what belongs to one boat only while there is one."""
    here = aboard()
    laws = all_laws()
    with here.top, st.container(key="answer"):
        st.markdown(_first_words(laws))
    result = None if here.boat is None else answer_for(here.boat)
    st.header("What limits the answer")
    if result is not None:
        st.markdown(f"For {plain(result.boat)} as she is set now:")
        parts.cautions(result.cautions, "boat")
        parts.how_sure(result)
    with st.expander(f"All cautions there are ({len(SENTENCES)})"):
        st.markdown("\n".join(f"- {plain(text)}" for text in SENTENCES.values()))
    st.header("How she was worked out")
    st.table(_groups(laws), border="horizontal", hide_index=True)
    with st.expander(f"Law by law ({len(laws)})"):
        st.dataframe(_laws(laws), hide_index=True, alt="Every law with its source", key="laws")
    if result is not None:
        st.header("What was assumed")
        st.markdown("Where her file and the published work leave a blank, this was put in:")
        parts.assumptions_table(result.assumptions, here.units)
    st.header("Published work")
    parts.sources_list(dict.fromkeys(law.source for law in laws.values()))


def _first_words(laws: dict[str, Law]) -> str:
    kinds = Counter(law.basis.value for law in laws.values())
    said = ", ".join(f"{count} {KNOWN.get(basis, basis)}" for basis, count in kinds.most_common())
    return plain(
        f"Every answer here is made from {len(laws)} published or derived rules: {said}. None of them "
        "knows your boat: a run on the water rules over all of it."
    )


def _groups(laws: dict[str, Law]) -> pd.DataFrame:
    """One row for each group of laws: how many, from which works, how well known."""
    groups: defaultdict[str, list[Law]] = defaultdict(list)
    for law in laws.values():
        module = law.function.__module__.rpartition(".")[2]
        groups[ABOUT.get(module, module.replace("_", " "))].append(law)
    return pd.DataFrame(
        {
            "about": [plain(name) for name in groups],
            "rules": [f"{len(group)}" for group in groups.values()],
            "from": [
                _joined(OURS.get(law.source, law.source) for law in group)
                for group in groups.values()
            ],
            "known by": [
                _joined(KNOWN.get(law.basis.value, law.basis.value) for law in group)
                for group in groups.values()
            ],
        }
    )


def _joined(words: Iterable[str]) -> str:
    return plain("; ".join(dict.fromkeys(words)))


def _laws(laws: dict[str, Law]) -> pd.DataFrame:
    return pd.DataFrame(
        {
            "rule": [law.title for law in laws.values()],
            "source": [SOURCES[law.source].text for law in laws.values()],
            "place": [law.locator for law in laws.values()],
            "known by": [KNOWN.get(law.basis.value, law.basis.value) for law in laws.values()],
            "range": [
                "; ".join(f"{s.symbol} {s.low:g} to {s.high:g}" for s in law.spans)
                for law in laws.values()
            ],
        }
    )
