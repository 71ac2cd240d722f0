"""Every page of help, in the order in which a season meets them."""

from reedcrew.help.shapes import Topic
from reedcrew.help.topics.field import DAY, HOURS, KEPT
from reedcrew.help.topics.gear import CLEANING, DISPOSAL, GEAR
from reedcrew.help.topics.plan import GOALS, HARD_RULES
from reedcrew.help.topics.season import IDENTIFICATION, WINDOW
from reedcrew.help.topics.stand import DECLINE, SAMPLING
from reedcrew.help.topics.water import CUTTING, DEPTH
from reedcrew.help.topics.weather import WEATHER

TOPICS: tuple[Topic, ...] = (
    IDENTIFICATION,
    WINDOW,
    SAMPLING,
    DEPTH,
    CUTTING,
    HARD_RULES,
    GOALS,
    GEAR,
    WEATHER,
    DAY,
    CLEANING,
    DISPOSAL,
    HOURS,
    DECLINE,
    KEPT,
)
