"""`readiness page`: one page for one role, to print or to open on a phone.

Invariant: the page is written whole or not at all, and a file that is not a page stays as it is.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from readiness.cli.asking import asked_on, open_case
from readiness.cli.main import Exit
from readiness.cli.options import as_of_option, job_argument, on_option

if TYPE_CHECKING:
    from readiness.pages.form import Form
    from readiness.pages.paper import Answers, Paper

WITHOUT_FORM = frozenset({"dispatcher", "inspector", "owner"})


@click.command("page")
@job_argument
@click.option(
    "--for",
    "role",
    required=True,
    metavar="ROLE",
    help="contractor, dispatcher, crew lead, inspector, board crew, owner, or a trade's id.",
)
@click.option(
    "--out",
    "target",
    required=True,
    type=click.Path(path_type=Path),
    help="The file; .pdf or .png draws the page, every other ending is HTML.",
)
@click.option("--with-form", is_flag=True, help="Lines to tick, send and take in by receive.")
@click.option(
    "--paper",
    type=click.Choice(["A4", "letter"], case_sensitive=False),
    help="Of a .pdf or .png; else as the site's country prints.",
)
@on_option
@as_of_option
def command(  # noqa: PLR0913, PLR0917  one parameter per option
    job: Path,
    role: str,
    target: Path,
    paper: str | None,
    on: str | None,
    as_of: str | None,
    *,
    with_form: bool,
) -> int:
    """Write one page for ROLE: the verdict as a sentence, then what that role wants to know.

    JOB is a job file or its folder. The page is one HTML file that needs no network and, without a
    form, no script; every browser prints it on one or two sheets, a form's grids behind them. A
    .pdf needs the extra pdf, a .png the extra png.
    """
    from readiness.desk.keeping import pictures_of
    from readiness.desk.papers import answers_of
    from readiness.desk.printing import drawn, is_drawn, was_drawn
    from readiness.desk.writing import write_files
    from readiness.pages.paper_html import is_ours, paper_html

    if with_form and is_drawn(target):
        message = f"--with-form: a form needs a browser, so {target.name!r} can't hold one"
        raise click.UsageError(message)
    desk, case = open_case(job, as_of)
    pictures = pictures_of(desk, case.outlook.seen.as_of)
    answers = answers_of(case, asked_on(on, desk, case), pictures=pictures)
    page = paper_of(role, answers)
    content = paper_html(page, _form(role, answers) if with_form else None).encode()
    if is_drawn(target):
        content = drawn(content.decode(), target, paper or "", desk.job.site.country)
    write_files(
        target.parent,
        {target.name: content},
        ours=lambda head: is_ours(head) or was_drawn(target),
    )
    click.echo(f"{target}: for {page.role}, page {page.code}")
    return int(Exit.YES)


def paper_of(role: str, answers: Answers) -> Paper:
    """Return the page of a role.

    Raises:
        click.UsageError: Nobody of this job has that role.
    """
    from readiness.pages.roles import paper_for, role_named

    name = role_named(role)
    paper = paper_for(name, answers)
    if paper is None:
        raise unknown_role("--for", name, answers)
    return paper


def unknown_role(option: str, name: str, answers: Answers) -> click.UsageError:
    """Return what is said when nobody of a job is called so."""
    from readiness.job.problems import nearest
    from readiness.pages.roles import roles_of

    known = roles_of(answers)
    near = nearest(name, known)
    hint = f" Did you mean {near}?" if near else ""
    message = f"{option}: nobody here is {name!r}.{hint} There are {', '.join(known)}."
    return click.UsageError(message)


def _form(role: str, answers: Answers) -> Form:
    from readiness.pages.form import form_of
    from readiness.pages.roles import role_named

    name = role_named(role)
    if name in WITHOUT_FORM:
        message = f"--with-form: the {name} has no form; it is for those who work on site"
        raise click.UsageError(message)
    return form_of(answers, name)
