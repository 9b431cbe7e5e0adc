# UNTESTED: written beside packaging/frozen, never run on Windows.
# Freeze the program on Windows into build\frozen\dist\throughlight:  powershell -File packaging\frozen-windows.ps1
# Wants Python 3.11 (64 bit), and objdump of a MinGW (packaging/frozen.spec asks it which libraries are needed).
$ErrorActionPreference = "Stop"
Set-Location (Join-Path $PSScriptRoot "..")
$out = "build\frozen"
New-Item -ItemType Directory -Force "$out\dist" | Out-Null

function Run($program) {
    & $program @args
    if ($LASTEXITCODE -ne 0) { throw "$program $args ended with $LASTEXITCODE" }
}

if (-not (Get-Command objdump -ErrorAction SilentlyContinue)) { throw "objdump is not on the PATH" }
Run py -3.11 -m venv --clear "$out\venv"
# The lock is made on Linux: what only Windows wants (pefile, pywin32-ctypes, colorama) stands in no lock yet.
Run "$out\venv\Scripts\pip.exe" install --quiet --require-hashes --no-deps --prefer-binary `
    --requirement packaging\requirements-frozen.lock
Run "$out\venv\Scripts\pip.exe" install --quiet pefile pywin32-ctypes colorama
Run "$out\venv\Scripts\pyinstaller.exe" --noconfirm --log-level ERROR --distpath "$out\dist" --workpath "$out\work" `
    packaging\frozen.spec
$bytes = (Get-ChildItem -Recurse -File "$out\dist\throughlight" | Measure-Object -Property Length -Sum).Sum
"{0}\dist\throughlight: {1:N0} MB" -f $out, ($bytes / 1e6)
