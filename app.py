"""The dashboard: `streamlit run app.py`."""

from perf.faces.dashboard.shell import run

run()
