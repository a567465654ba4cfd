"""What `archgen values` says."""

import click

from archgen.languages.house import say
from archgen.outputs.reprints.order_of_work import OrderOfWork
from archgen.wording.planning.orders import NOT_A_STENCIL, PROPOSAL, OrderRow, OrderWords, plan_words


def print_order(order: OrderOfWork, said: OrderWords) -> None:
    """Print the steps, what they rest on, and what is to be asked."""
    title = say("{title}, order of work: {plan}.", title=order.title, plan=plan_words(order.plan))
    click.echo(f"{title} {say(NOT_A_STENCIL)}")
    for row in said.rows:
        click.echo(_line(row))
    for line in (*said.doubts, *said.rests_on, say(PROPOSAL)):
        click.echo(line)


def _line(row: OrderRow) -> str:
    facts = [row.where, row.size, row.share, row.needle, row.ink]
    return f"{row.number or '-':>3}  {' · '.join(fact for fact in facts if fact)}"
