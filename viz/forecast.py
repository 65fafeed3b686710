"""What every page says of its figures, and the year it begins with."""

START_YEAR = 5
FORECAST = (
    "Every figure is a forecast: the expected value, and a range from slow to fast growth "
    "that holds eight of ten outcomes of the model. Where no plants were measured the "
    "range is assumed."
)
