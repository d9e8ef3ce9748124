# fish completion for holdline

set -l commands live demo rigs listen run replay watch measure list show compare export place plan store
set -l first "not __fish_seen_subcommand_from $commands"

function __holdline_rigs
    printf '%s\n' auto virtual:winter virtual:steady virtual:restless virtual:rough
    for device in /dev/ttyACM* /dev/ttyUSB* /dev/serial/by-id/*
        echo $device
    end
end

complete -c holdline -l help -d 'how it is used'
complete -c holdline -n $first -l version -d 'the version'
complete -c holdline -n $first -f -a live -d 'the live session'
complete -c holdline -n $first -f -a demo -d 'the live session on the virtual rig'
complete -c holdline -n $first -f -a rigs -d 'the ports, and what is heard on each'
complete -c holdline -n $first -f -a listen -d 'the samples as they are decoded'
complete -c holdline -n $first -f -a run -d 'a scripted session without a screen'
complete -c holdline -n $first -f -a replay -d 'a stored session worked out again'
complete -c holdline -n $first -f -a measure -d 'the measures of one recorded stream'
complete -c holdline -n $first -f -a list -d 'the sessions in the store'
complete -c holdline -n $first -f -a show -d 'everything about one session'
complete -c holdline -n $first -f -a compare -d 'setups against each other'
complete -c holdline -n $first -f -a export -d 'one session to a file'
complete -c holdline -n $first -f -a place -d 'parts to coordinates, coordinates to parts'
complete -c holdline -n $first -f -a plan -d 'how many holds, in which order'
complete -c holdline -n $first -f -a store -d 'check, backup, merge, forget, compact'
complete -c holdline -n "$first; or __fish_seen_subcommand_from live rigs listen run" -a '(__holdline_rigs)' -d rig

# what several commands take
complete -c holdline -n '__fish_seen_subcommand_from live run replay list show compare export place plan store' -r -l store -d 'the store'
complete -c holdline -n '__fish_seen_subcommand_from rigs listen measure list show compare place plan store' -l json -d 'for programs'
complete -c holdline -n '__fish_seen_subcommand_from rigs listen' -x -l seconds -d 'how long to listen'
complete -c holdline -n '__fish_seen_subcommand_from listen measure' -x -l rate -d 'of a stream without time'
complete -c holdline -n '__fish_seen_subcommand_from run replay export place' -l replace -d 'may overwrite files'
complete -c holdline -n '__fish_seen_subcommand_from live demo' -x -l seed -d 'where the dice start'
complete -c holdline -n '__fish_seen_subcommand_from replay show compare export' -a last -d 'the latest session'

complete -c holdline -n '__fish_seen_subcommand_from live' -l resume -d 'go on with the session that was cut short'
complete -c holdline -n '__fish_seen_subcommand_from live' -l new -d 'a new session'
complete -c holdline -n '__fish_seen_subcommand_from live' -x -l carry -a last -d 'begin where an earlier session ended'
complete -c holdline -n '__fish_seen_subcommand_from live' -x -l on-bike -d 'its setup that is on the bike'
complete -c holdline -n '__fish_seen_subcommand_from live' -x -l origin -d 'start, for tests'
complete -c holdline -n '__fish_seen_subcommand_from live' -r -l trace -d 'what was done and seen'
complete -c holdline -n '__fish_seen_subcommand_from demo' -l headless -d 'no screen'
complete -c holdline -n '__fish_seen_subcommand_from demo' -x -l speed -d 'times real time'
complete -c holdline -n '__fish_seen_subcommand_from demo' -x -l out -a '(__fish_complete_directories)' -d 'where the files go'
complete -c holdline -n '__fish_seen_subcommand_from listen' -l health -d 'only the report at the end'
complete -c holdline -n '__fish_seen_subcommand_from run' -l no-store -d 'keep nothing'
complete -c holdline -n $first -f -a watch -d 'a second screen for the rider'
complete -c holdline -n '__fish_seen_subcommand_from watch' -f -l line -d 'a line at each change'
complete -c holdline -n '__fish_seen_subcommand_from watch' -f -l json -d 'the view as JSON lines'
complete -c holdline -n '__fish_seen_subcommand_from replay' -r -l export -d 'write an export'
complete -c holdline -n '__fish_seen_subcommand_from export' -x -l chosen -d 'the setup the sheet is about'
complete -c holdline -n '__fish_seen_subcommand_from measure' -l raw -d 'readings as they are'
complete -c holdline -n '__fish_seen_subcommand_from list show compare' -x -l rider -d 'only this one'
complete -c holdline -n '__fish_seen_subcommand_from list show compare' -x -l bike -d 'only this in its name'
complete -c holdline -n '__fish_seen_subcommand_from list show compare' -x -l since -d 'this day or later'
complete -c holdline -n '__fish_seen_subcommand_from list show compare' -x -l until -d 'this day or before'
complete -c holdline -n '__fish_seen_subcommand_from compare' -x -l against -d 'another setup'
complete -c holdline -n '__fish_seen_subcommand_from store' -a 'check backup merge forget compact' -d 'what'
complete -c holdline -n '__fish_seen_subcommand_from store' -l quick -d 'sessions are not worked out again'
complete -c holdline -n '__fish_seen_subcommand_from store' -l yes -d 'is not asked for'
complete -c holdline -n '__fish_seen_subcommand_from place' -x -l session -d 'a stored session'
complete -c holdline -n '__fish_seen_subcommand_from place' -x -l setup -d 'its setup'
complete -c holdline -n '__fish_seen_subcommand_from place' -x -l from -d 'what to turn from this setup'
complete -c holdline -n '__fish_seen_subcommand_from place' -x -l at -d 'the place wanted: forward,up'
complete -c holdline -n '__fish_seen_subcommand_from place' -r -l to -d 'another bike'
complete -c holdline -n '__fish_seen_subcommand_from place' -x -l to-setup -d 'its setup'
complete -c holdline -n '__fish_seen_subcommand_from place' -r -l parts -d 'parts at hand'
complete -c holdline -n '__fish_seen_subcommand_from place' -x -l limit -d 'from the makers papers'
complete -c holdline -n '__fish_seen_subcommand_from place' -x -l best -d 'proposals'
complete -c holdline -n '__fish_seen_subcommand_from place' -x -l change-cost -d 'of one more part to change'
complete -c holdline -n '__fish_seen_subcommand_from place' -r -l svg -d 'the side view'
complete -c holdline -n '__fish_seen_subcommand_from place' -l ascii -d 'plain letters'
complete -c holdline -n '__fish_seen_subcommand_from place' -l no-drawing -d 'no side view'

complete -c holdline -n '__fish_seen_subcommand_from plan' -x -l difference -d 'worth finding'
complete -c holdline -n '__fish_seen_subcommand_from plan' -x -l setups -d 'to compare'
complete -c holdline -n '__fish_seen_subcommand_from plan' -x -l minutes -d 'left'
complete -c holdline -n '__fish_seen_subcommand_from plan' -x -l sd -d 'hold to hold'
complete -c holdline -n '__fish_seen_subcommand_from plan' -x -l from -a last -d 'an earlier session'
complete -c holdline -n '__fish_seen_subcommand_from plan' -f -l quick -d 'there and back'
complete -c holdline -n '__fish_seen_subcommand_from plan' -x -l tie -a 'fixed plate tape' -d 'of a changed bike'
complete -c holdline -n '__fish_seen_subcommand_from plan' -x -l change -d 'minutes of a change'
complete -c holdline -n '__fish_seen_subcommand_from plan' -x -l ride-in -d 'minutes of riding in'
complete -c holdline -n '__fish_seen_subcommand_from plan' -x -l hold -d 'minutes of a hold'
complete -c holdline -n '__fish_seen_subcommand_from plan' -x -l rating -d 'minutes of a rating'
complete -c holdline -n '__fish_seen_subcommand_from plan' -x -l rest -d 'minutes between holds'

# the stream
set -l stream '__fish_seen_subcommand_from live listen run measure'
complete -c holdline -n $stream -x -l dialect -a 'bench xdr senml plain' -d 'how lines are written'
complete -c holdline -n $stream -x -l columns -d 'wanted columns'
complete -c holdline -n $stream -x -l unit -a 'mm cm m in' -d 'unit of plain numbers'
complete -c holdline -n $stream -x -l time-column -d 'column with the time'
complete -c holdline -n $stream -x -l time-unit -a 'us ms s iso' -d 'unit of the time'
complete -c holdline -n $stream -x -l no-echo -d 'this value, or more, is no reading'
