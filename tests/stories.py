"""Twenty invented stories as they stand under pieces: ordinary prose, in which nothing private may be seen."""

STORIES = {
    "Heron at low tide": (
        "He stood in the mud for an hour and did not move, so neither did I. The drawing is from that one "
        "morning; the left leg is hidden because he hid it. Healed soft, lines still fine after a year."
    ),
    "Poppy seed head": (
        "From her grandmother's garden in 2019. She keeps the dried heads in a jar by the window and picked "
        "the one with the broken crown. We kept the crack."
    ),
    "Brass key": ("It opened a door that is not there any more. Black only, one needle, three hours and a pot of tea."),
    "Two swifts": (
        "They sleep while they fly, or so people say. One looks back; that was the whole idea. Booked for "
        "May, done in June because the weather was too good to sit inside."
    ),
    "Fox under snow": (
        "Foxes listen for mice through half a metre of snow. You can see where he is about to jump. The white "
        "is bare skin, which is the best white there is."
    ),
    "Fig leaf": (
        "No jokes, she said, and then made four herself. Drawn from a leaf on my desk that curled more every "
        "day, so the stencil has three versions and we used the second."
    ),
    "Harbour crane": (
        "His father drove one like it for thirty years. Straight lines on a round arm are a puzzle: we drew "
        "it on paper first, then on a bottle, then on him."
    ),
    "Wild garlic": (
        "You smell it before you see it. Fine stems, no outline on the flowers, a little grey in the shade."
    ),
    "Sleeping cat": (
        "This cat has never done anything. She wanted a portrait that respects it. The whiskers took longer "
        "than the rest of the piece."
    ),
    "Compass rose": ("Not pointing north on purpose. It points home when the arm hangs down, or near enough."),
    "Oak gall": (
        "People made ink from these for a thousand years, so it seemed right to draw one. Small, round, seen "
        "from both sides."
    ),
    "Tide table": (
        "Numbers from a page of an old almanac: high water at 4.12 and 16.38. The paper was torn at the "
        "corner and so is the tattoo."
    ),
    "Magpie": (
        "One for sorrow, they say, and she said one is plenty. Blue in the wing only where the light falls on it."
    ),
    "Loaf of bread": (
        "For a baker, from a baker. The cuts on the crust are his own hand; mine only followed. He brought "
        "the model, and afterwards we ate it with salt."
    ),
    "Carp": (
        "Scales are a test of patience. There are 214 of them, I counted, and none is quite like the next. "
        "Second session in autumn for the tail."
    ),
    "Paper boat": (
        "Folded from a letter that nobody will ever read again. It sits on the ankle where the water would be."
    ),
    "Thistle": (
        "She is from the north and tired of being asked. Purple was too much; the grey says it better. Healed "
        "photo taken after eight weeks."
    ),
    "Anvil": (
        "A gift to himself after the last day at the forge. Dense black, packed in two sittings so that the "
        "skin could rest, with a light edge left open at the top."
    ),
    "Dragonfly": (
        "Four wings, each with its own pattern of veins. We looked at one under glass for a long time. "
        "Nothing holds still like a thing you have to draw."
    ),
    "Half moon": (
        "The other half is on her sister. They live eight hours apart and send each other photographs of the "
        "sky. Same stencil, same day, two chairs side by side."
    ),
}
