"""The guide of plug-ins states each hook exactly as it is, and nothing that is not."""

from __future__ import annotations

import ast
import inspect
import re
from pathlib import Path

from propsoff import hookspecs

GUIDE = Path(__file__).parent.parent / "contrib" / "guide" / "plug-ins.md"


def test_the_guide_has_each_hook_with_its_exact_signature() -> None:
    tree = ast.parse(inspect.getsource(hookspecs))
    real = {
        f"def {node.name}({ast.unparse(node.args)}) -> {ast.unparse(node.returns)}:"
        for node in tree.body
        if isinstance(node, ast.FunctionDef) and node.name.startswith("propsoff_") and node.returns is not None
    }
    stated = set(re.findall(r"^def propsoff_.*$", GUIDE.read_text(), re.MULTILINE))
    assert len(real) == 9
    assert stated == real
