"""What every table of the document is made of: strict numbers, flags, days and names."""

import datetime
from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field

Number = Annotated[float, Field(strict=True, allow_inf_nan=False)]
Whole = Annotated[int, Field(strict=True)]
Flag = Annotated[bool, Field(strict=True)]
Day = Annotated[datetime.date, Field(strict=True)]
Share = Annotated[Number, Field(ge=0, le=1)]
Percent = Annotated[Number, Field(ge=-1000, le=1000)]
Azimuth = Annotated[Number, Field(ge=-360, le=360)]
RunToRise = Annotated[Number, Field(ge=0, le=100)]
Name = Annotated[str, Field(min_length=1, max_length=200)]
YearNumber = Annotated[Whole, Field(ge=0, le=30)]


class Table(BaseModel):
    """A table of the document: unknown keys refused, values fixed once read."""

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False)
