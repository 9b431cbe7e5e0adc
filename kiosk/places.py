"""Where db/ and resources/ lie: beside the package in a checkout, inside it in a wheel or a frozen build."""

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent
_ROOT = _PACKAGE / "shipped" if (_PACKAGE / "shipped").is_dir() else _PACKAGE.parent

RESOURCES = _ROOT / "resources"
DB = _ROOT / "db"
