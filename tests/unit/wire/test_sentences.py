"""NMEA 0183 sentences against published ones, and what is refused."""

from __future__ import annotations

import pynmea2
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rovlog.documents.sentences import (
    LONGEST,
    REFUSALS,
    Sentence,
    checksum,
    read_sentence,
    sentence_bytes,
    whole_number,
)

PUBLISHED = [  # start, body, checksum as printed; public NMEA 0183 primers and public instrument logs
    ("$", "GPGGA,123519,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,", "47"),
    ("$", "GPGGA,184353.07,1929.045,S,02410.506,E,1,04,2.6,100.00,M,-33.9,M,,0000", "6D"),
    ("$", "LCGLL,4728.31,N,12254.25,W,091342,A", "21"),
    ("$", "GPBOD,045.,T,023.,M,DEST,START", "01"),
    ("$", "GPRMB,A,0.66,L,003,004,4917.24,N,12309.57,W,001.3,052.5,000.5,V", "20"),
    ("$", "GPBWC,225444,4917.24,N,12309.57,W,051.9,T,031.6,M,001.3,N,004", "29"),
    ("$", "SDDBT,7.8,f,2.4,M,1.3,F", "0D"),
    ("$", "SDDPT,0.0,0.0,2.0", "57"),
    ("$", "VWMTW,22.4,C", "16"),
    ("$", "INMTW,17.9,C", "1B"),
    ("$", "YXXDR,R,0.0,l,PORT FUEL,R,0.0,l,STARBOARD FUEL,U,12.4,V,BATTERY", "4F"),
    ("$", "GPZDA,,00,00,0000,-03,00", "66"),
    ("$", "GPAPB,A,A,0.10,R,N,V,V,011,M,DEST,011,M,011,M", "3C"),
    ("$", "PGRMZ,93,f,3", "21"),
    ("$", "PGRMZ,246,f,3", "1B"),
    ("$", "PGRMM,NAD27 Canada", "2F"),
    ("$", "PSLIB,,,J", "22"),
    ("$", "PSLIB,,,K", "23"),
    ("$", "PSLIB,320.0,200", "59"),
    ("!", "GPGGA,000000.00,5253.164,N,00539.655,E,0,00,99.9,,M,,M,,", "6F"),
]

MISPRINTED = [  # widely copied with a wrong checksum; the second figure is the right one
    ("GPRMB,A,0.66,L,003,004,4917.24,N,12309.57,W,001.3,052.5,000.5,V", "0B", "20"),
    ("PGRME,15.0,M,45.0,M,25.0,M", "22", "1C"),
]


@pytest.mark.parametrize(("start", "body", "printed"), PUBLISHED)
def test_published_sentences_are_read_with_their_printed_checksum(start, body, printed):
    line = f"{start}{body}*{printed}\r\n".encode()
    address, *fields = body.split(",")
    assert read_sentence(line) == Sentence(address, tuple(fields))


@pytest.mark.parametrize(("body", "wrong", "right"), MISPRINTED)
def test_widely_copied_misprints_are_refused(body, wrong, right):
    assert read_sentence(f"${body}*{wrong}\r\n".encode()) == "wrong-checksum"
    assert isinstance(read_sentence(f"${body}*{right}\r\n".encode()), Sentence)
    with pytest.raises(pynmea2.ChecksumError):
        pynmea2.parse(f"${body}*{wrong}")


@pytest.mark.parametrize(
    ("line", "word"),
    [
        (b"$VWMTW,22.4,C*16\n", "no-carriage-return"),
        (b"$VWMTW,22.4,C*16", "no-carriage-return"),
        (b"$VWMTW,22.4,C*1\r\n", "no-checksum"),
        (b"$VWMTW,22.4,C*016\r\n", "no-checksum"),
        (b"$VWMTW,22.4,C\r\n", "no-checksum"),
        (b"$INMTW,17.9,C*1b\r\n", "no-checksum"),
        (b"$INMTW,17.9,C*1C\r\n", "wrong-checksum"),
        (b"INMTW,17.9,C*1B\r\n", "no-start"),
        (b"$INMTW,\x0017.9,C*1B\r\n", "not-text"),
        (b"$INMTW,\xff17.9,C*1B\r\n", "not-text"),
        (b"$INMTW,\x1b[2J17.9,C*1B\r\n", "not-text"),
        (b"$VWMTW,2$VWMTW,22.4,C*16\r\n", "wrong-checksum"),
        (b"$" + b"A" * 10_000 + b"*00\r\n", "too-long"),
        (b"\r\n", "no-start"),
        (b"$*00\r\n", None),
    ],
)
def test_what_breaks_a_rule_is_refused_by_its_word(line, word):
    found = read_sentence(line)
    assert found == word if word else isinstance(found, Sentence)
    assert word is None or word in REFUSALS


def test_a_second_start_in_a_sentence_is_refused_even_if_the_checksum_fits():
    body = b"VWMTW,$22"
    line = b"$%s*%02X\r\n" % (body, checksum(body))
    assert read_sentence(line) == "two-starts"


@given(st.binary(max_size=200))
def test_no_bytes_raise(data):
    found = read_sentence(data)
    assert isinstance(found, Sentence) or found in REFUSALS


FIELD = st.text(st.characters(min_codepoint=32, max_codepoint=125, exclude_characters="$*,!\\^~"), max_size=9)


@given(st.lists(FIELD, min_size=1, max_size=6))
def test_what_is_written_reads_back_here_and_with_an_independent_reader(fields):
    line = sentence_bytes("PRVLVAL", fields)
    assert len(line) <= LONGEST
    assert read_sentence(line) == Sentence("PRVLVAL", tuple(fields))
    other = pynmea2.parse(line.decode(), check=True)
    assert other.manufacturer == "RVL"
    assert other.data == ["VAL", *fields]


@pytest.mark.parametrize("field", ["a,b", "a*b", "$", "é", "\x1b", "x" * 80])
def test_what_cannot_stand_in_a_sentence_is_not_written(field):
    with pytest.raises(ValueError, match="sentence"):
        sentence_bytes("PRVLVAL", ["1", field])


@pytest.mark.parametrize(
    ("text", "number"),
    [("0", 0), ("7", 7), ("-1000", -1000), ("4294967295", 4294967295), ("4294967296", None), ("-1001", None),
     ("", None), ("-0", None), ("+1", None), ("01", None), (" 1", None), ("1.0", None), ("1e3", None),
     ("inf", None), ("nan", None), ("٣", None), ("1_000", None), ("9" * 5000, None)],
)  # fmt: skip
def test_numbers_are_plain_whole_and_in_range(text, number):
    assert whole_number(text, -1000, 4294967295) == number
