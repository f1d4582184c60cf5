"""The few rules of style that the theme cannot say."""

STYLE = """<style>
[data-testid="stMainBlockContainer"] {
  max-width: 68rem; padding-top: 1.5rem; padding-bottom: 4rem;
}
.st-key-pages { gap: 0.5rem; padding-bottom: 0.4rem; border-bottom: 1px solid rgba(128, 140, 140, 0.35); }
.st-key-pages p { font-size: 0.95rem; }
.st-key-pages a:focus-visible { outline: 2px solid currentColor; outline-offset: 2px; }
.st-key-pages > :first-child p { font-family: "Source Serif", serif; font-weight: 600; }
.st-key-answer p { font-size: 1.3rem; line-height: 1.5; max-width: 52rem; }
[class*="st-key-caution-"] { border-left: 3px solid #b98315; padding-left: 0.9rem; }
[class*="st-key-caution-"] p, [class*="st-key-caution-"] li {
  font-size: 0.92rem; line-height: 1.45;
}
[class*="st-key-caution-"] ul { list-style: none; padding-left: 0; margin-bottom: 0; }
[class*="st-key-caution-"] li { margin: 0.2rem 0; padding-left: 0; }
[class*="st-key-figures-"] { gap: 0.3rem; }
[class*="st-key-figures-"] [data-testid="stColumn"] [data-testid="stVerticalBlock"] { gap: 0; }
[class*="st-key-figures-"] [data-testid="stMetricValue"],
[class*="st-key-figures-"] [data-testid="stMetricLabel"] p { white-space: normal; }
[class*="st-key-caution-"] [data-testid="stMarkdownContainer"] { margin-bottom: 0; }
[data-testid="stCaptionContainer"] { color: inherit; opacity: 0.8; }
[data-testid="stBaseButton-primary"], [data-testid="stBaseButton-primary"]:hover,
[data-testid="stBaseButton-primary"]:active { background: #0b5d66; color: #ffffff; }
input::placeholder { opacity: 0.85; }
[data-testid="InputInstructions"] { display: none; } /* "10/60" was read as gallons */
.st-key-section-each_hole td * { white-space: nowrap !important; overflow-wrap: normal !important; }
[class*="st-key-drawn"] .vega-embed { max-width: 100%; }
[class*="st-key-drawn"] .vega-embed svg { max-width: 100%; height: auto; }
@media (max-width: 640px) {
  [class*="st-key-figures-"] [data-testid="stColumn"],
  .st-key-settings [data-testid="stColumn"] {
    min-width: calc(50% - 1rem); flex: 1 1 calc(50% - 1rem);
  }
  .st-key-answer p { font-size: 1.15rem; }
  [class*="st-key-faults-"] thead { display: none; }
  [class*="st-key-faults-"] tr { display: block; padding: 0.3rem 0; }
  [class*="st-key-faults-"] td { display: block; border: none; padding: 0.1rem 0; }
  [class*="st-key-faults-"] td * { white-space: normal !important; overflow-wrap: anywhere; }
  [class*="st-key-faults-"] td:last-child { font-weight: 600; }
}
</style>"""
