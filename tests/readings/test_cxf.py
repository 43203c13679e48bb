"""CxF3: namespaces, specifications, conditions, targets and irregular spectra are read right."""

from collections.abc import Callable
from datetime import UTC, datetime
from importlib import resources
from pathlib import Path

import numpy as np
import pytest

from evaluation.colorimetry.difference import delta_e_76
from evaluation.readings.colours import colours
from evaluation.readings.detect import read_readings
from evaluation.readings.run import Run
from evaluation.readings.supplied import OpenQuestions, Supplied

Write = Callable[..., Path]
NS = "http://colorexchangeformat.com/CxF3-core"
SPEC = (
    '<ColorSpecification Id="{id}"><TristimulusSpec><Illuminant>{illuminant}</Illuminant>'
    "<Observer>{observer}</Observer></TristimulusSpec><MeasurementSpec>"
    "<MeasurementType>Spectrum_Reflectance</MeasurementType>"
    "<GeometryChoice><SingleAngle><SingleAngleConfiguration>Annular</SingleAngleConfiguration>"
    "<IlluminationAngle>45.0</IlluminationAngle><MeasurementAngle>0</MeasurementAngle></SingleAngle></GeometryChoice>"
    "{wavelengths}<Device><Model>none</Model><DeviceIllumination>{light}</DeviceIllumination></Device>"
    "</MeasurementSpec></ColorSpecification>"
)
GRID = '<WavelengthRange StartWL="380" Increment="10"/>'
FLAT = " ".join(["0.5"] * 36)


def spec(
    id: str = "cs",
    illuminant: str = "D50",
    observer: str = "2_Degree",
    light: str = "M1_Daylight",
    wavelengths: str = GRID,
) -> str:
    return SPEC.format(id=id, illuminant=illuminant, observer=observer, light=light, wavelengths=wavelengths)


def cxf(objects: str, specs: str | None = None, namespace: str = NS) -> str:
    return (
        f'<?xml version="1.0" encoding="UTF-8"?>\n<CxF xmlns="{namespace}">\n'
        f"<Resources><ObjectCollection>\n{objects}\n</ObjectCollection>"
        f"<ColorSpecificationCollection>{spec() if specs is None else specs}"
        "</ColorSpecificationCollection></Resources></CxF>\n"
    )


def spectrum(text: str = FLAT, attributes: str = 'ColorSpecification="cs" StartWL="380"') -> str:
    return f"<ColorValues><ReflectanceSpectrum {attributes}>{text}</ReflectanceSpectrum></ColorValues>"


def lab(L: object = 50, a: object = 1, b: object = -2, specification: str = "cs") -> str:
    return (
        f'<ColorValues><ColorCIELab ColorSpecification="{specification}"><L>{L}</L><A>{a}</A><B>{b}</B>'
        "</ColorCIELab></ColorValues>"
    )


def item(inside: str, name: str = "P1", id: str = "p1", type: str = "Target") -> str:
    return f'<Object ObjectType="{type}" Name="{name}" Id="{id}">{inside}</Object>'


def rgb(r: object, g: object, b: object, attributes: str = "", inside: str = "") -> str:
    parts = f"{inside}<R>{r}</R><G>{g}</G><B>{b}</B>"
    return f"<DeviceColorValues><ColorRGB {attributes}>{parts}</ColorRGB></DeviceColorValues>"


def one(path: Path, said: Supplied | None = None) -> Run:
    (run,) = read_readings(path, said)
    return run


def test_targets_and_three_conditions_come_together(write: Write) -> None:
    runs = read_readings(Path(__file__).parent / "data" / "cxf3_rgb_target_m0_m1_m2.cxf")
    text = read_readings(Path(__file__).parent / "data" / "rgb_m0_m1_m2_three_tables.txt")
    assert [(run.part, run.stated.condition) for run in runs] == [("M0", "M0"), ("M1", "M1"), ("M2", "M2")]
    for run, same in zip(runs, text, strict=True):
        # The same model in both files: the text is written with four digits.
        np.testing.assert_allclose(run.device, same.device)  # type: ignore[arg-type]
        np.testing.assert_allclose(run.spectra, same.spectra, atol=6e-5)  # type: ignore[arg-type]
        assert [ref.id for ref in run.patches] == [f"t{number}" for number in range(1, 27)]


def test_sample_of_another_library() -> None:
    """The sample file of colour-cxf: 144 objects, CIELAB against CIELAB of their spectra."""
    pytest.importorskip("colour_cxf", reason="colour-cxf is not installed")
    sample = resources.files("colour_cxf") / "tests" / "resources" / "sample.cxf"
    with resources.as_file(sample) as path:
        run = one(path)
    assert len(run) == 144 and run.lab is not None
    assert run.device is None and any("ColorSRGB" in remark for remark in run.remarks)
    assert delta_e_76(run.lab, colours(run).lab_d50).mean() < 0.2


def test_namespace_counts_not_the_prefix(write: Write) -> None:
    plain = cxf(item(lab()))
    prefixed = (
        plain.replace("<", "<x:").replace("<x:/", "</x:").replace("<x:?", "<?").replace("xmlns=", "xmlns:x=")
    )
    for text in (plain, prefixed):
        np.testing.assert_allclose(one(write(text, "a.cxf")).lab, [[50, 1, -2]])  # type: ignore[arg-type]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16"])
def test_encodings(write: Write, encoding: str) -> None:
    text = cxf(item(lab(), name="Grün"))
    if encoding == "utf-16":
        text = text.replace("UTF-8", "UTF-16")
    assert one(write(text, "a.cxf", encoding)).patches[0].name == "Grün"


def test_foreign_resources_are_passed_over(write: Write) -> None:
    own = f'<y:Own xmlns:y="urn:y"><Object>{lab(1, 2, 3)}</Object></y:Own>'
    foreign = f"<CustomResources>{own}</CustomResources></CxF>"
    assert len(one(write(cxf(item(lab())).replace("</CxF>", foreign), "a.cxf"))) == 1


def test_content_of_a_specification_counts_not_its_id(write: Write) -> None:
    specs = spec("cs65-2", "D65", "10_Degree", "M0_Incandescent") + spec("CS65-2", "D50", "2_Degree")
    run = one(write(cxf(item(spectrum(attributes='ColorSpecification="cs65-2"')), specs), "a.cxf"))
    assert (run.stated.illuminant, run.stated.observer, run.stated.condition) == ("D65", "10", "M0")
    assert (run.stated.geometry, run.stated.instrument) == ("45/0 annular", "none")


@pytest.mark.parametrize(
    ("light", "condition"),
    [
        ("M0_Incandescent", "M0"),
        ("M1_Daylight", "M1"),
        ("M2_UVExcluded", "M2"),
        ("M3_Polarized", "M3"),
        ("LED", None),
        ("Custom", None),
    ],
)
def test_measurement_condition(write: Write, light: str, condition: str | None) -> None:
    assert one(write(cxf(item(lab()), spec(light=light)), "a.cxf")).stated.condition == condition


def test_condition_by_type_of_object_where_the_specification_is_silent(write: Write) -> None:
    run = one(write(cxf(item(lab(), type="M2_Measurement"), spec(light="")), "a.cxf"))
    assert run.stated.condition == "M2"


def test_conditions_that_contradict_count_as_none(write: Write) -> None:
    run = one(write(cxf(item(lab(), type="M2_Measurement")), "a.cxf"))
    assert run.stated.condition is None and any("M2 by the type" in remark for remark in run.remarks)


def test_one_object_measured_under_two_conditions(write: Write) -> None:
    inside = spectrum() + spectrum(" ".join(["0.6"] * 36), 'ColorSpecification="m2" StartWL="380"')
    runs = read_readings(write(cxf(item(inside), spec() + spec("m2", light="M2_UVExcluded")), "a.cxf"))
    assert [run.stated.condition for run in runs] == ["M1", "M2"]
    assert [float(run.spectra[0, 0]) for run in runs if run.spectra is not None] == [0.5, 0.6]


def test_standards_and_trials_stay_apart(write: Write) -> None:
    runs = read_readings(
        write(cxf(item(lab(), type="Standard") + item(lab(60), id="p2", type="Trial")), "a.cxf")
    )
    assert len(runs) == 2


def test_start_and_step_come_from_the_specification(write: Write) -> None:
    wide = spec(wavelengths='<WavelengthRange StartWL="360" Increment="20"/>')
    run = one(write(cxf(item(spectrum(" ".join(["0.5"] * 20), 'ColorSpecification="cs"')), wide), "a.cxf"))
    np.testing.assert_allclose(run.wavelengths, np.arange(360, 741, 20))  # type: ignore[arg-type]


@pytest.mark.parametrize("attribute", ['Increment="10"', 'Step="10"', 'Interval="10"', 'EndWL="730"'])
def test_dialects_that_give_the_step_with_the_spectrum(write: Write, attribute: str) -> None:
    attributes = f'ColorSpecification="cs" StartWL="380" {attribute}'
    run = one(write(cxf(item(spectrum(attributes=attributes)), spec(wavelengths="")), "a.cxf"))
    np.testing.assert_allclose(run.wavelengths, np.arange(380, 731, 10))  # type: ignore[arg-type]


def test_no_step_is_asked_and_never_assumed(write: Write) -> None:
    path = write(cxf(item(spectrum()), spec(wavelengths="")), "a.cxf")
    with pytest.raises(OpenQuestions, match="--step-nm"):
        read_readings(path)
    np.testing.assert_allclose(one(path, Supplied(step_nm=10)).wavelengths, np.arange(380, 731, 10))  # type: ignore[arg-type]


def test_thirty_one_values_reach_just_far_enough(write: Write) -> None:
    run = one(write(cxf(item(spectrum(f"\n  {' '.join(['0.5'] * 31)}\n"))), "a.cxf"))
    assert run.wavelengths is not None and run.wavelengths[-1] == 680


def test_irregular_spectrum_out_of_order_and_doubled(write: Write) -> None:
    nm = [*np.arange(380, 731, 10).astype(float) + 0.5, 380.5]
    points = "".join(f'<SpectralPoint WL="{w}">{w / 1000}</SpectralPoint>' for w in nm[::-1])
    text = f'<ColorValues><CustomSpectrum ColorSpecification="cs">{points}</CustomSpectrum></ColorValues>'
    run = one(write(cxf(item(text)), "a.cxf"))
    np.testing.assert_allclose(run.wavelengths, nm[:-1])  # type: ignore[arg-type]
    np.testing.assert_allclose(run.spectra[0], np.array(nm[:-1]) / 1000)  # type: ignore[index]


def test_dangling_specification_keeps_the_lab_and_says_what_is_lost(write: Write) -> None:
    inside = spectrum(attributes='ColorSpecification="no" StartWL="380"') + lab(specification="no")
    run = one(write(cxf(item(inside)), "a.cxf"))
    np.testing.assert_allclose(run.lab, [[50, 1, -2]])  # type: ignore[arg-type]
    assert run.spectra is None and run.stated.illuminant is None
    assert any("specification no is missing" in remark for remark in run.remarks)


def test_whitened_and_slightly_negative_spectra(write: Write) -> None:
    values = ["-0.01", "1.25", *["0.8"] * 34]
    run = one(write(cxf(item(spectrum(" ".join(values)))), "a.cxf"))
    assert run.spectra is not None and run.spectra[0, 1] == 1.25


def test_lab_beside_it_settles_the_scale_of_a_spectrum(write: Write) -> None:
    """One band of 2.99 on fractions: the lightness given beside it says what it is."""
    values = ["0.5"] * 35 + ["2.99"]
    inside = spectrum(" ".join(values)) + lab(76.07, 0, 0)
    run = one(write(cxf(item(inside)), "a.cxf"))
    assert run.spectra is not None and run.spectra[0, -1] == 2.99
    with pytest.raises(OpenQuestions, match="--spectral-scale"):
        read_readings(write(cxf(item(spectrum(" ".join(values)))), "b.cxf"))


@pytest.mark.parametrize(
    ("attributes", "inside"),
    [('MaxRange="100"', ""), ("", "<MaxRange>100</MaxRange>")],
    ids=["attribute", "element"],
)
def test_stated_range_of_rgb(write: Write, attributes: str, inside: str) -> None:
    run = one(write(cxf(item(lab() + rgb(50.5, 100, 0, attributes, inside))), "a.cxf"))
    np.testing.assert_allclose(run.device, [[0.505, 1, 0]])  # type: ignore[arg-type]


def test_rgb_without_range_is_asked_below_a_hundred(write: Write) -> None:
    with pytest.raises(OpenQuestions, match="--rgb-scale"):
        read_readings(write(cxf(item(lab() + rgb(50.5, 100, 0))), "a.cxf"))


def test_inks(write: Write) -> None:
    inks = "<Cyan>10</Cyan><Magenta>20</Magenta><Yellow>30</Yellow><Black>100</Black>"
    text = item(lab() + f"<DeviceColorValues><ColorCMYK>{inks}</ColorCMYK></DeviceColorValues>")
    run = one(write(cxf(text), "a.cxf"))
    assert run.device_space == "CMYK"
    np.testing.assert_allclose(run.device, [[0.1, 0.2, 0.3, 1]])  # type: ignore[arg-type]


def test_targets_are_found_by_row_and_column_when_names_do_not_tell(write: Write) -> None:
    def tags(row: int, column: int) -> str:
        both = f'<Tag Name="Row" Value="{row}"/><Tag Name="Column" Value="{column}"/>'
        return f'<TagCollection Name="Location">{both}</TagCollection>'

    objects = (
        item(rgb(255, 0, 0) + tags(0, 0), "red", "t1")
        + item(rgb(0, 255, 0) + tags(0, 1), "green", "t2")
        + item(lab(50) + tags(0, 1), "first", "m1", "M1_Measurement")
        + item(lab(60) + tags(0, 0), "second", "m2", "M1_Measurement")
    )
    run = one(write(cxf(objects), "a.cxf"))
    assert [(ref.id, ref.name) for ref in run.patches] == [("t1", "red"), ("t2", "green")]
    assert run.lab is not None and run.lab[:, 0].tolist() == [60, 50]


def test_measurements_without_targets_are_called_alike_in_every_condition(write: Write) -> None:
    objects = "".join(
        item(lab(), f"{m}_Measurement{n}", f"{m}_{n}", f"{m}_Measurement")
        for m in ("M0", "M2")
        for n in (1, 2)
    )
    runs = read_readings(write(cxf(objects, spec(light="")), "a.cxf"))
    assert [[ref.id for ref in run.patches] for run in runs] == [["1", "2"], ["1", "2"]]


def test_the_hour_and_zone_of_the_creation_date_count(write: Write) -> None:
    """Ages of prints are told in hours: a date alone would be up to a day off."""
    head = (
        "<FileInformation><CreationDate>2026-03-02T14:05:00+01:00</CreationDate></FileInformation><Resources>"
    )
    text = cxf(f'<Object ObjectType="Measured" Name="a" Id="1">{spectrum()}</Object>').replace(
        "<Resources>", head
    )
    (run,) = read_readings(write(text, "hour.cxf"))
    assert run.stated.measured_at == datetime(2026, 3, 2, 13, 5, tzinfo=UTC)


@pytest.mark.parametrize(
    ("device", "condition"),
    [
        ("<DeviceFilter>Filter_UVExcluded</DeviceFilter>", "M2"),
        ("<DeviceFilter>Filter_None</DeviceFilter><DevicePolarization>false</DevicePolarization>", None),
        ("<DevicePolarization>true</DevicePolarization>", "M3"),
        ("<DeviceIllumination>m1_daylight</DeviceIllumination>", "M1"),
    ],
)
def test_a_filter_alone_says_the_condition_it_makes(write: Write, device: str, condition: str | None) -> None:
    specs = spec().replace("<DeviceIllumination>M1_Daylight</DeviceIllumination>", device)
    assert one(write(cxf(item(lab()), specs), "a.cxf")).stated.condition == condition


def test_start_and_step_as_elements_of_the_range(write: Write) -> None:
    inside = "<WavelengthRange><StartWL>380</StartWL><Increment>10</Increment></WavelengthRange>"
    text = cxf(item(spectrum(attributes='ColorSpecification="cs"')), spec(wavelengths=inside))
    np.testing.assert_allclose(one(write(text, "a.cxf")).wavelengths, np.arange(380, 731, 10))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("attribute", "said"),
    [('StartWL="390"', "begin at 390 nm"), ('StartWL="380" EndWL="780"', "EndWL states 780 nm")],
)
def test_wavelengths_that_contradict_the_specification_are_remarked(
    write: Write, attribute: str, said: str
) -> None:
    run = one(write(cxf(item(spectrum(attributes=f'ColorSpecification="cs" {attribute}'))), "a.cxf"))
    assert any(said in remark for remark in run.remarks)
    assert run.wavelengths is not None and np.ptp(np.diff(run.wavelengths)) == 0 < run.wavelengths[1]
    assert run.wavelengths[1] - run.wavelengths[0] == 10
