import subprocess

from stats_references import R_FOLDER, skip_without_r


def test_kept_inputs_are_what_the_r_packages_hold(tmp_path):
    skip_without_r("survival", "etm", "MASS")
    subprocess.run(["Rscript", "--vanilla", "inputs.R", tmp_path], cwd=R_FOLDER, check=True)
    written = sorted(tmp_path.iterdir())
    assert len(written) == 9
    for file in written:
        assert file.read_bytes() == (R_FOLDER / file.name).read_bytes(), file.name
