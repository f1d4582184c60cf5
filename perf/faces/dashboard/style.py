"""The few rules of style that the theme cannot say."""

STYLE = """<style>
[data-testid="stMainBlockContainer"] { max-width: 68rem; padding-top: 4.5rem; padding-bottom: 4rem; }
.st-key-answer p { font-size: 1.3rem; line-height: 1.5; max-width: 52rem; }
[class*="st-key-caution-"] { border-left: 3px solid #b98315; padding-left: 0.9rem; }
[class*="st-key-caution-"] p { font-size: 0.92rem; line-height: 1.45; }
[class*="st-key-figures-"] [data-testid="stMetricValue"] { white-space: normal; }
</style>"""
