"""Quantities that several documents hold, each with its unit and range."""

from typing import Annotated, Literal

from msgspec import Meta

Session = Annotated[int, Meta(ge=1, description="the number of a session")]
Moment = Annotated[str, Meta(description="date and time, ISO 8601 with its offset")]
Grade = Annotated[float, Meta(ge=1, le=5, description="ITU-R BT.500: 5 imperceptible, 1 very annoying")]
Lab = Annotated[tuple[float, float, float], Meta(description="CIELAB D50, 2 degrees, absolute")]
Density = Annotated[float, Meta(description="visual density, ISO 5-3")]
DE00 = Annotated[float, Meta(ge=0, description="CIEDE2000")]
Whitener = Annotated[float, Meta(description="b* of the bare paper without ultraviolet less with it")]
LitBy = Annotated[Literal["M1", "M0"], Meta(description="the condition with ultraviolet")]
Share = Annotated[float, Meta(ge=0, le=1)]
Sentences = Annotated[list[str], Meta(description="whole sentences, for people")]
Third = Literal["light", "middle", "dark"]
