// Stamp of pincheck 0.1.0, define style, wiring bb22af794216, lines 6b167c0d55a1, boards Heron 2 + Lapwing C, assembly Marsh 230 with Lapwing C
// Marsh 230 with Lapwing C: reference of tool head, bed and end stops in the define
// style.
// Boards: Heron 2, Lapwing C. Generated from the wiring, read back and checked without
// a finding.
// Put each line in the place of the one of its name: those of machine.h in the main
// header, those of machine_adv.h in its companion. A second line of one name does not
// build, and in another header it counts for nothing. Yours, and not here:
// DEFAULT_AXIS_STEPS_PER_UNIT, bed size and ends of the axes, NOZZLE_TO_PROBE_OFFSET,
// the figures of PID, speeds.
// Motor currents (RMS) belong to the driver's type, which the wiring does not state, or
// to its trimmer: extruder motor 0.8 A, x motor 1.2 A, y motor 1.2 A, z motor 1.2 A.
// What is marked "yours" is your own choice, within what the parts stand.
// Lines of yours that must go: FIX_MOUNTED_PROBE, PROBE_MANUALLY, NOZZLE_AS_PROBE,
// SENSORLESS_PROBING, Z_MIN_PROBE_USES_Z_MIN_ENDSTOP_PIN, FAN_SOFT_PWM, FAST_PWM_FAN.
// The pins header of Heron 2 is read after these and says something else: take out
// there FAN_PIN PB7, FAN0_PIN PB7.
// Agreement on paper is no proof. Power off and unplug before you measure or re-plug,
// and stay with the machine for its first heat.
#pragma once

// Mainboard
#define MOTHERBOARD BOARD_HERON_2            // Heron 2
#define EXTRUDERS 1                          // yours: hot ends fitted

// Temperature sensors
#define TEMP_SENSOR_0 5                      // 100 k thermistor, 104GT-2 class on 4700 ohm
#define TEMP_SENSOR_BED 11                   // 100 k thermistor, beta 3950 on 4700 ohm
#define TEMP_0_PIN PC5                       // hot-end sensor: PC5 leads to Lapwing C thermistor
#define TEMP_BED_PIN PC4                     // bed sensor: PC4 leads to Heron 2 bed_sensor

// Heaters and their limits
#define HEATER_0_PIN PC8                     // hot-end heater: PC8 leads to Lapwing C heater
#define HEATER_0_INVERTING false             // on while the pin is high
#define HEATER_0_MAXTEMP 270                 // yours: liner stands 260 C: limit 255 C + 15 K for overshoot
#define HEATER_0_MINTEMP 5                   // yours: a broken sensor wire reads colder
#define HEATER_BED_PIN PA8                   // bed heater: PA8 leads to Heron 2 bed
#define HEATER_BED_INVERTING false           // on while the pin is high
#define BED_MAXTEMP 125                      // yours: magnet of the plate stands 120 C: limit 115 C + 10 K for overshoot
#define BED_MINTEMP 5                        // yours: a broken sensor wire reads colder
#define HOTEND_OVERSHOOT 15                  // yours: targets end this far below the limit
#define BED_OVERSHOOT 10                     // yours: targets end this far below the limit
#define PIDTEMP                              // yours: control of the hot end; tune its figures on the machine
#define BANG_MAX 255                         // yours: 1.7 A, which everything on its way carries
#define PID_MAX BANG_MAX                     // yours: near the target, as far from it
#define PREVENT_COLD_EXTRUSION               // yours: switches the next line on
#define EXTRUDE_MINTEMP 170                  // yours: colder filament is not pushed
#define MAX_BED_POWER 255                    // yours: 8.3 A, which everything on its way carries
#define THERMAL_PROTECTION_HOTENDS           // cuts the power when the temperature does not follow
#define THERMAL_PROTECTION_BED               // cuts the power when the temperature does not follow

// Part fans
#define FAN0_PIN PB8                         // part fan: PB8 leads to Lapwing C part_fan_a, with the second part fan
#define FAN_INVERTING false                  // on while the pin is high

// Probe
#define BLTOUCH                              // 5 V probe with a pin that a servo signal deploys
#define USE_PROBE_FOR_Z_HOMING               // no end stop is fitted: the probe homes
#define Z_MIN_PROBE_PIN PB1                  // probe signal: PB1 leads to Lapwing C probe
#define Z_MIN_PROBE_ENDSTOP_HIT_STATE HIGH   // triggered while the pin is high
#define NUM_SERVOS 1                         // yours: the one that deploys the probe
#define Z_PROBE_SERVO_NR 0                   // the first servo
#define SERVO0_PIN PA1                       // probe servo: PA1 leads to Lapwing C probe

// End stops and filament
#define ENDSTOPPULLUPS                       // nothing on the boards pulls the line up
#define X_HOME_DIR -1                        // yours: assumed: homes to its low end
#define X_MIN_PIN PC0                        // x endstop: PC0 leads to Heron 2 stop_x
#define X_MIN_ENDSTOP_HIT_STATE HIGH         // triggered while the pin is high
#define Y_HOME_DIR -1                        // yours: assumed: homes to its low end
#define Y_MIN_PIN PC1                        // y endstop: PC1 leads to Heron 2 stop_y
#define Y_MIN_ENDSTOP_HIT_STATE HIGH         // triggered while the pin is high
#define Z_HOME_DIR -1                        // yours: assumed: homes to its low end
#define FILAMENT_RUNOUT_SENSOR               // switches the next lines on
#define FIL_RUNOUT_ENABLED_DEFAULT true      // yours: on from the start
#define NUM_RUNOUT_SENSORS 1                 // yours: the one that is fitted
#define FIL_RUNOUT_PIN PC3                   // filament sensor: PC3 leads to Heron 2 filament
#define FIL_RUNOUT_STATE HIGH                // filament is there while the pin is low
#define FIL_RUNOUT_PULLUP                    // nothing on the boards pulls the line up
