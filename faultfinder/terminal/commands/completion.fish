# fish: faultfinder completion fish > ~/.config/fish/completions/faultfinder.fish
function __faultfinder_jobs
  set -l folder $FAULTFINDER_JOBS
  test -n "$folder"; or set folder $XDG_DATA_HOME/faultfinder/jobs
  test -n "$FAULTFINDER_JOBS$XDG_DATA_HOME"; or set folder $HOME/.local/share/faultfinder/jobs
  for file in $folder/*.yaml
    basename $file .yaml
  end
end
complete -c faultfinder -f
@WORDS@
