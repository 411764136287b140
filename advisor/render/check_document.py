"""What is wrong with a knowledge folder, as a document for programs.

What `cameback check --json` prints, described by schemas/check.schema.json. It holds what `run`
found and adds nothing.
"""

from __future__ import annotations

from typing import Any

from advisor.checking.run import CheckResult

FORMAT = "cameback-check"
VERSION = 1


def check_document(result: CheckResult) -> dict[str, Any]:
    """The result of a check as plain data."""
    return {
        "format": FORMAT,
        "version": VERSION,
        "sound": not result.problems,
        "files": result.files,
        "rules": result.rules,
        "examples": result.examples,
        "calls": result.calls,
        "reading_grades": {
            who: {
                "texts": grades.texts,
                "average": round(grades.average, 1),
                "most": round(grades.most, 1),
            }
            for who, grades in result.grades.items()
        },
        "notices": list(result.notices),
        "problems": [
            {
                "code": problem.code,
                "path": problem.path,
                "line": problem.line,
                "column": problem.column,
                "message": problem.message,
                "hint": problem.hint,
            }
            for problem in result.problems
        ],
    }
