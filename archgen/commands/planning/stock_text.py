"""What `archgen stock` says."""

from collections.abc import Sequence

import msgspec
from rich.console import Console
from rich.text import Text

from archgen.languages.house import say
from archgen.supplies.stock import Product
from archgen.wording.planning.stock import NO_COUNT, reorder_words, stock_words


def print_stock(console: Console, products: Sequence[Product]) -> None:
    """Print what is at hand, what needs something first."""
    if not products:
        console.print(say("No inks and no needles are recorded yet."))
        return
    for kind in stock_words(products):
        console.print(Text(kind.title, "bold"))
        for product in kind.products:
            console.print(Text.assemble(f"  {product.name}", (f"  {product.pace}", "dim")))
            if product.need:
                console.print(Text(f"    {product.need}.", "bold"))
            for container in product.containers:
                console.print(Text(f"    {container.batch}: {container.facts}"))
        console.print()
    console.print(Text(reorder_words(products), "bold"))
    console.print(Text(say(NO_COUNT), "dim"))


def stock_as_json(products: Sequence[Product]) -> str:
    """Write the list for another program."""
    return msgspec.json.format(msgspec.json.encode(products), indent=2).decode()
