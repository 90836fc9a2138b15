"""A comparison of two sets of records as a page that needs no network."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import Protocol

from jinja2 import Environment

PAGE = """<!doctype html>
<html lang="en"><head><meta charset="utf-8"><title>Comparison of records</title>
<style>
body { font: 15px/1.5 system-ui, sans-serif; margin: 2rem auto; max-width: 70rem; color: #1f2a33; padding: 0 1rem; }
h1 { font-size: 1.4rem; } h2 { font-size: 1.1rem; margin-top: 2rem; }
table { border-collapse: collapse; width: 100%; }
td, th { text-align: left; padding: .3rem .6rem; vertical-align: top; }
tr + tr td { border-top: 1px solid #dde3e8; } del { background: #fbe6dd; text-decoration: none; }
ins { background: #ddf0e4; text-decoration: none; } .place { color: #6b7a86; font-size: .85em; }
.bar { background: #47708c; height: .7rem; display: inline-block; }
</style></head><body>
<h1>Comparison of records</h1>
<p>{{ found.left_count }} left, {{ found.right_count }} right, {{ found.paired }} paired,
{{ found.equal }} of them equal; {{ found.differences | length }} fields differ,
{{ found.unpaired | length }} records have no fellow.</p>
{% if fields %}<h2>Where they differ</h2><table>
{% for field, count in fields %}<tr><td>{{ field }}</td><td>{{ count }}</td>
<td><span class="bar" style="width: {{ (300 * count / most) | round | int }}px"></span></td></tr>
{% endfor %}</table>{% endif %}
{% if found.unpaired %}<h2>Records without a fellow</h2><table>
{% for one in found.unpaired %}<tr><td>{{ one.record or "(no identifier)" }}</td>
<td>{{ one.why }}, {{ one.side }}</td><td class="place">{{ one.place }}</td></tr>
{% endfor %}</table>{% endif %}
{% if found.differences %}<h2>Fields</h2><table><tr><th>record</th><th>field</th><th>left</th><th>right</th></tr>
{% for one in found.differences %}<tr><td>{{ one.record }}</td><td>{{ one.field }}</td>
<td><del>{{ one.left }}</del><br><span class="place">{{ one.left_place }}</span></td>
<td><ins>{{ one.right }}</ins><br><span class="place">{{ one.right_place }}</span></td></tr>
{% endfor %}</table>{% endif %}
</body></html>
"""


class DifferenceLike(Protocol):
    """One field that differs."""

    @property
    def field(self) -> str: ...  # noqa: D102


class ComparisonLike(Protocol):
    """What a comparison came to."""

    @property
    def differences(self) -> Sequence[DifferenceLike]: ...  # noqa: D102


def as_html(found: ComparisonLike) -> str:
    """The page. All that comes from records is escaped."""
    fields = Counter(one.field.partition("[")[0] for one in found.differences).most_common()
    page = Environment(autoescape=True, trim_blocks=True).from_string(PAGE)
    return page.render(found=found, fields=fields, most=fields[0][1] if fields else 1)
