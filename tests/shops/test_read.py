"""Published formats, and what is wrong with a file."""

from __future__ import annotations

from pathlib import Path

import pytest

from scheduler.errors import BadInput
from scheduler.shops import read
from scheduler.shops.chain import Way
from scheduler.shops.ovens import Job, Oven, Weights
from scheduler.shops.read_ovens import ovens

OVENS = """l=90;
a=2;
setup_costs=[|1,2,
|3,4,
|0,0|];
setup_times=[|0,5,
|6,0,
|0,0|];
m=2;
min_cap=[0,0];
max_cap=[10,20];

initState=[2,1];
s=2;
m_a_s = [|0,50,
|10,80|];
m_a_e = [|40,60,
|70,80|];
n=2;
eligible_machine = [{1,2},
{2}];
earliest_start=[0,5];
latest_end=[30,40];
min_time=[7,8];
max_time=[9,8];
size=[3,4];
attribute=[1,2];

upper_bound_integer_objective=1000;
mult_factor_total_runtime=4;
mult_factor_finished_toolate=100;
mult_factor_total_setuptimes=0;
mult_factor_total_setupcosts=1;
"""


def written(folder: Path, text: str) -> Path:
    path = folder / "case.txt"
    path.write_text(text, encoding="utf-8")
    return path


def test_a_job_shop(tmp_path: Path):
    shop = read.job_shop(written(tmp_path, "2 2\n0 3 1 4\n 1 5  0 6\n"))
    assert (shop.name, shop.pools) == ("case", (1, 1))
    assert shop.jobs == (((Way(0, 3),), (Way(1, 4),)), ((Way(1, 5),), (Way(0, 6),)))


def test_a_flexible_job_shop_with_a_third_number(tmp_path: Path):
    shop = read.flexible_job_shop(written(tmp_path, "1\t3\t1.5\n2  2 1 5 3 4  1 2 6\n"))
    assert shop.jobs == (((Way(0, 5), Way(2, 4)), (Way(1, 6),)),)
    assert shop.pools == (1, 1, 1)


def test_a_hybrid_flow_shop(tmp_path: Path):
    shop = read.hybrid_flow_shop(written(tmp_path, "2\n2\n3\t2\t\n7 8\n9 1\n"))
    assert shop.pools == (3, 2)
    assert shop.jobs == (((Way(0, 7),), (Way(1, 8),)), ((Way(0, 9),), (Way(1, 1),)))
    assert shop.flows


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("2 2\n0 3 1 4\n", "case.txt: ends too soon; is it of this format?"),
        ("1 1\n0 three\n", "case.txt, row 2: holds 'three'; only whole numbers are read"),
        ("1 1\n0 \u00b2\n", "case.txt, row 2: holds '\u00b2'; only whole numbers are read"),
        ("1 1\n1 3\n", "case.txt, row 2: names station 1; there are 1"),
        ("0 1\n", "case.txt, row 1: holds 0 where 1 is the least"),
        (
            "1 1\n0 3\n0 4\n",
            "case.txt, row 3: goes on behind the last job; is it of this format?",
        ),
    ],
)
def test_what_is_wrong_with_a_shop(tmp_path: Path, text: str, said: str):
    with pytest.raises(BadInput) as told:
        read.job_shop(written(tmp_path, text))
    assert str(told.value) == said


def test_a_first_line_may_be_a_remark(tmp_path: Path):
    text = "# mk\n\n1 3 1.5\n1 1 1 5\n"
    assert read.flexible_job_shop(written(tmp_path, text)).jobs == (((Way(0, 5),),),)


def test_each_step_has_a_way_and_each_stage_a_station(tmp_path: Path):
    said = "case.txt, row 2: holds 0 where 1 is the least"
    with pytest.raises(BadInput) as told:
        read.flexible_job_shop(written(tmp_path, "1 2\n1 0\n"))
    assert str(told.value) == said
    with pytest.raises(BadInput) as told:
        read.hybrid_flow_shop(written(tmp_path, "2 2\n1 0\n3 4\n5 6\n"))
    assert str(told.value) == said


def test_ovens(tmp_path: Path):
    found = ovens(written(tmp_path, OVENS))
    assert found.ovens == (Oven(10, ((0, 40), (50, 60)), 1), Oven(20, ((10, 70),), 0))
    assert found.jobs == (Job((0, 1), 0, 3, 0, 30, 7, 9), Job((1,), 1, 4, 5, 40, 8, 8))
    assert found.set_up_ticks[:2] == ((0, 5), (6, 0))
    assert found.set_up_cost[0] == (1, 2)
    assert (found.weights, found.horizon) == (Weights(4, 100, 1, 1000), 70)


@pytest.mark.parametrize(
    ("was", "now", "said"),
    [
        ("n=2;", "", "n: is missing; is it an oven instance in its published form?"),
        ("size=[3,4]", "size=[3]", "size: has 1 values, 2 are needed"),
        ("{1,2},\n", "", "eligible_machine: has 1 sets for 2 jobs"),
        ("|3,4,\n", "|3,\n", "setup_costs: has 3 rows, 3 of 2 are needed"),
        ("|0,5,\n|6,0,\n|0,0|", "|0,|6,|0|", "setup_times: has 3 rows, 3 of 2 are needed"),
        ("|40,60,\n|70,80|", "|40,|70|", "m_a_e: has 2 rows, 2 of 2 are needed"),
        ("attribute=[1,2]", "attribute=[1,3]", "attribute: holds 3; it may be 1 to 2"),
        ("{2}", "{3}", "eligible_machine: holds 3; it may be 1 to 2"),
        ("{2}", "{}", "eligible_machine: names no oven for job 2"),
        ("initState=[2,1]", "initState=[0,1]", "initState: holds 0; it may be 1 to 3"),
        (
            "earliest_start=[0,5]",
            "earliest_start=[0,-5]",
            "earliest_start: holds '-5'; only whole numbers from 0 on are read",
        ),
        ("min_time=[7,8]", "min_time=[7,9]", "min_time: of job 2 is longer than its max_time"),
        (
            "size=[3,4]",
            "size=[3,21]",
            "size: of job 2 is more than an oven of its eligible_machine holds",
        ),
        (
            "upper_bound_integer_objective=1000",
            "upper_bound_integer_objective=0",
            "upper_bound_integer_objective: holds 0; it may be from 1 on",
        ),
        (
            "mult_factor_total_setuptimes=0",
            "mult_factor_total_setuptimes=1",
            "mult_factor_total_setuptimes: is not 0, but set-up time does not count here",
        ),
    ],
)
def test_what_is_wrong_with_ovens(tmp_path: Path, was: str, now: str, said: str):
    assert was in OVENS
    with pytest.raises(BadInput, match="case") as told:
        ovens(written(tmp_path, OVENS.replace(was, now)))
    assert str(told.value) == f"case.txt, {said}"


def test_what_is_no_text(tmp_path: Path):
    path = tmp_path / "case.txt"
    path.write_bytes(b"\xff\xfe\x00")
    for reader in (read.job_shop, ovens):
        with pytest.raises(BadInput, match="is no text"):
            reader(path)
