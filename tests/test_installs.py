"""The package as others get it: wheel, sdist and pre-commit hook, each installed and run. Needs a package registry."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import venv
from pathlib import Path

import pytest

pytestmark = pytest.mark.installs
ROOT = Path(__file__).parents[1]
DEMO = ROOT / "linter" / "bedfellow" / "linter" / "demo"


def run(*words: object, status: int = 0, cwd: Path | None = None, **environment: str) -> str:
    clean = {key: value for key, value in os.environ.items() if key not in ("PYTHONPATH", "PYTHONDONTWRITEBYTECODE")}
    done = subprocess.run(
        [str(word) for word in words],
        cwd=cwd,
        env={**clean, **environment},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == status, done.stdout + done.stderr
    return done.stdout + done.stderr


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with an sdist, and the wheel built from it."""
    folder = tmp_path_factory.mktemp("dist")
    run(sys.executable, "-m", "build", "--outdir", folder, ROOT)
    return folder


@pytest.mark.parametrize("kind", ["*.whl", "*.tar.gz"])
def test_installed(built: Path, kind: str, tmp_path: Path) -> None:
    venv.create(tmp_path / "venv", with_pip=True)
    scripts = tmp_path / "venv" / ("Scripts" if os.name == "nt" else "bin")
    run(scripts / "python", "-m", "pip", "install", "-q", next(built.glob(kind)))
    packages = next((tmp_path / "venv").rglob("site-packages"))
    assert (packages / "bedfellow" / "traits_db" / "_built" / "store.sqlite").is_file()
    assert not [name for name in ("schema", "traits_db", "rules", "linter") if (packages / name).exists()]
    assert not (packages / "bedfellow" / "__init__.py").exists()
    cache = tmp_path / "cache"
    plans = tmp_path / "plans"
    plans.mkdir()
    run(scripts / "bedfellow", "demo", plans, XDG_CACHE_HOME=str(cache))
    said = run(scripts / "bedfellow", "lint", plans / "orchard-gate.plan.yaml", status=1, XDG_CACHE_HOME=str(cache))
    assert "SITE-01" in said
    mended, drawn = plans / "orchard-gate-mended.plan.yaml", tmp_path / "plan.svg"
    run(scripts / "bedfellow", "page", mended, "--output", tmp_path / "plan.html", XDG_CACHE_HOME=str(cache))
    run(scripts / "bedfellow", "draw", mended, "--output", drawn, XDG_CACHE_HOME=str(cache))
    assert "<svg" in drawn.read_text("utf-8") and "<script" in (tmp_path / "plan.html").read_text("utf-8")
    refused = run(scripts / "bedfellow", "handover", mended, tmp_path / "pack", status=2, XDG_CACHE_HOME=str(cache))
    assert "bedfellow[handover]" in refused, "what it takes is not installed, and that is said"
    assert not list(cache.rglob("store.sqlite")), "the shipped store is opened, not built again"
    own = {"XDG_CACHE_HOME": str(cache), "BEDFELLOW_STORE": str(tmp_path / "own.sqlite"), "BEDFELLOW_WHO": "test"}
    run(scripts / "bedfellow", "store", "create", **own)  # the migrations are in the package
    assert "plants" in run(scripts / "bedfellow", "store", "load", **own)


def test_precommit_hook(tmp_path: Path) -> None:
    """The hook from a local clone, in a repository of plans: the good plan is committed, the bad one refused."""
    source, plans = tmp_path / "source", tmp_path / "plans"
    run("git", "clone", "-q", ROOT, source)
    revision = run("git", "rev-parse", "HEAD", cwd=source).strip()
    plans.mkdir()
    git = ("git", "-c", "user.name=Test", "-c", "user.email=test@example.org")
    run("git", "init", "-q", cwd=plans)
    (plans / ".pre-commit-config.yaml").write_text(
        f"repos:\n- repo: {source}\n  rev: {revision}\n  hooks: [{{id: bedfellow}}]\n", "utf-8"
    )
    home = {"PRE_COMMIT_HOME": str(tmp_path / "home"), "XDG_CACHE_HOME": str(tmp_path / "cache")}
    run(sys.executable, "-m", "pre_commit", "install", cwd=plans, **home)
    shutil.copy(DEMO / "orchard-gate-mended.plan.yaml", plans)
    run("git", "add", ".", cwd=plans)
    run(*git, "commit", "-qm", "A good plan", cwd=plans, **home)
    shutil.copy(DEMO / "orchard-gate.plan.yaml", plans)
    run("git", "add", ".", cwd=plans)
    said = run(*git, "commit", "-qm", "A bad plan", cwd=plans, status=1, **home)
    assert "SITE-01" in said
    assert run("git", "log", "--oneline", cwd=plans).count("\n") == 1
