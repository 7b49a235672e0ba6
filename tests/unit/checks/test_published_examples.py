"""Published and worked examples, answered through the items that use them."""

from __future__ import annotations

import pytest
from poolside import Poolside

from rovlog.usecases.dive_steps import log

OUTSIDE = 101.325
"""Standard atmosphere, kPa."""


class TestVacuumHold:
    """The vacuum hold (C5): worked with the ideal gas law on absolute pressures and kelvins."""

    def answered(self, start_absolute, start_c, end_absolute, end_c):
        pool = Poolside().dive()
        return pool.tick(
            "vacuum-hold",
            start_below=OUTSIDE - start_absolute,
            start_temperature=start_c,
            end_below=OUTSIDE - end_absolute,
            end_temperature=end_c,
        )

    def rise(self, answered):
        return answered.written.entry.fields["values"]["corrected_rise"]

    def test_a_cooling_housing_without_a_leak_passes(self):
        # Ideal gas law: 70.0 kPa absolute at 25 C is 67.6522 kPa absolute at 15 C (-2.348 kPa, no leak).
        answered = self.answered(70.0, 25.0, 67.6522, 15.0)
        assert self.rise(answered) == pytest.approx(0.0, abs=1e-3)
        assert answered.state == "answered"

    def test_a_warm_up_that_imitates_a_leak_passes_with_its_true_rise(self):
        # 15 inHg (NIST SP 811: 3386.389 Pa each) below the standard atmosphere is 50.5292 kPa absolute;
        # at 20 C, then 51.6 kPa at 24 C: 50.9054 corrected, a rise of 0.3762 kPa of 1.071 read.
        answered = self.answered(50.5292, 20.0, 51.6, 24.0)
        assert self.rise(answered) == pytest.approx(0.3762, abs=1e-3)
        assert (answered.outcome, answered.judged[0].limit) == ("pass", 1.0)

    def test_the_same_readings_without_the_temperature_would_have_failed(self):
        answered = self.answered(50.5292, 20.0, 51.6, 20.0)
        assert self.rise(answered) == pytest.approx(1.0708, abs=1e-3)
        assert answered.state == "failed"

    def test_a_kelvin_at_76_kpa_is_a_quarter_kilopascal(self):
        # Ideal gas law: 76 / 293.15 = 0.2593 kPa for each kelvin, as the item's reason says.
        assert self.rise(self.answered(76.0, 20.0, 76.0, 21.0)) == pytest.approx(-0.259, abs=2e-3)


class TestTetherLoop:
    """Loop resistance (BN6): copper at 20 C by the wire table of NBS Handbook 100, there and back."""

    @pytest.mark.parametrize(
        ("awg", "length_m", "loop_ohm"),
        [
            (18, 20, 0.8379),
            (16, 20, 0.5270),
            (14, 30, 0.4970),
            (12, 15, 0.1563),
        ],
    )
    def test_the_table_s_loop_is_in_band_and_a_tenth_off_is_at_its_edge(self, awg, length_m, loop_ohm):
        pool = Poolside()
        tether = {"length_m": length_m, "conductor_awg": awg, "carries": "motor-pairs"}
        pool.change("/electrical/tether", tether)
        pool.work("bench")
        answered = pool.tick("bench-loop", loop=loop_ohm)
        judged = answered.judged[0]
        assert answered.state == "answered"
        assert judged.limit == pytest.approx(loop_ohm, rel=1e-3)
        assert pool.tick("bench-loop", loop=round(loop_ohm * 1.09, 4)).state == "answered"
        assert pool.tick("bench-loop", loop=round(loop_ohm * 1.12, 4)).state == "failed"


class TestWater:
    """Buoyancy and depth, by density of the water (EOS-80 at one atmosphere, UNESCO 44, 1983)."""

    def test_ten_litres_go_up_by_278_grams_from_a_pool_to_the_sea(self):
        # Archimedes on 998.2067 (fresh, 20 C) and 1025.976 kg/m3 (35, 15 C): 0.27769 kg for 10 litres.
        pool = Poolside()
        pool.change("/hull", {"mass_kg": 9.9, "displaced_volume_m3": 0.01, "ballast_density_kg_m3": 11340})
        pool.dive(water={"kind": "fresh", "temperature_c": 20.0})
        fresh = pool.tick("net-buoyancy", "ines").written.entry.fields["values"]["net_up"]
        water = {"kind": "salt", "temperature_c": 15.0, "salinity": 35.0}
        log(pool.logbook, pool.record, "place", {"water": water}, by="ines")
        salt = pool.tick("net-buoyancy", "ines").written.entry.fields["values"]["net_up"]
        # Both are read out to four figures.
        assert salt - fresh == pytest.approx(0.27769 * 9.80665, abs=2e-3)

    def test_the_depth_margin_is_metres_of_this_water_less_the_depth_planned(self):
        # rho g h: 9.7891 kPa a metre in fresh water of 20 C; the rating is in metres of 9.807 kPa.
        pool = Poolside().dive(water={"kind": "fresh", "temperature_c": 20.0})
        answered = pool.tick("depth-rating", "ines")
        margin = answered.written.entry.fields["values"]["margin"]
        assert margin == pytest.approx(28 * 9.807 / 9.7891 - 4.0, abs=0.01)
        assert answered.state == "answered"
