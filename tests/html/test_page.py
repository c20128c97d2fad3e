"""The page around everything: its security policy, its escapes."""

import re
from base64 import b64encode
from hashlib import sha256

import pytest
from jinja2 import UndefinedError

from pincheck.html.page import environment, render


def test_style_and_script_are_the_only_ones_that_the_page_lets_in():
    """The policy names the digest of what stands between the tags, and no source beside it."""
    page = render("base.html")
    policy = re.search(r'Content-Security-Policy" content="([^"]+)"', page)[1].replace("&#39;", "'")
    assert policy.startswith("default-src 'none';")
    for tag in ("style", "script"):
        (text,) = re.findall(rf"<{tag}>(.*?)</{tag}>", page, re.DOTALL)
        digest = b64encode(sha256(text.encode()).digest()).decode()
        assert f"{tag}-src 'sha256-{digest}'" in policy
    assert "http" not in page.replace('http-equiv="', "")


def test_texts_of_files_are_escaped_and_lines_kept():
    """HTML and control characters both; what a template lacks is an error, never a blank."""
    template = environment().from_string("<pre>{{ text }}</pre>")
    assert template.render(text="<i>\x1b[2J\n\u202e") == "<pre>&lt;i&gt;\\x1b[2J\n\\u202e</pre>"
    with pytest.raises(UndefinedError):
        template.render()
