"""What to mind where a calculation leads to work that can hurt."""

LOCAL = "Local codes, the health office and licensed trades go before any figure here."
SCALD = (
    "A pump that has run without moving water can hold scalding water above its boiling heat. "
    "Off at the panel, let it cool half an hour at least, and open no plug before it is cool."
)
STORED = (
    "A tank holds pressure with the power off. Lock the power out, open the tank drain until "
    "it stops by itself, and only then trust an air reading or loosen anything."
)
AIR = "Pump a tank up in small steps and never above the pressure on its plate."
MAINS = (
    "Mains can kill. Live readings are for the qualified; everybody else locks the power out "
    "and proves it dead. A capacitor can hold a charge with the power off."
)
INSULATION = (
    "Power locked out, leads off the motor and electronic controls off the line before the "
    "test voltage goes on; let the charge off afterwards."
)
RUN_DRY = "Do not run the pump against a shut valve or without water to take a reading."
CISTERN = (
    "Nobody enters a cistern, well or pit or leans into one: air that kills cannot be smelled. "
    "Measure from outside, with a second person there."
)
BLEACH = (
    "Plain unscented bleach only, never together with acid, ammonia or another cleaner. Wear "
    "gloves and eye protection, and keep the place aired."
)
NOT_DRINK = (
    "Nobody drinks the water until it is flushed and a sample has come back free of coliforms. "
    "Keep strong chlorine out of the septic tank, softener, filters and heater."
)
FUEL = "Against fuel or chemicals neither bleach nor boiling helps: drain and refill, and ask."
DISINFECTION = (LOCAL, BLEACH, CISTERN, NOT_DRINK, FUEL)
