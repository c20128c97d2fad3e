/**
 * Marsh 230 with a Heron 2 mainboard and a Lapwing C breakout on the tool head.
 * Main header: machine, heaters, probe, movement.
 */
#pragma once

//=============================================================================
// Mainboard and host
//=============================================================================

#ifndef MOTHERBOARD
  #define MOTHERBOARD BOARD_HERON_2
#endif

#define SERIAL_PORT -1
#define SERIAL_PORT_2 2
#define BAUDRATE 250000
//#define BAUDRATE_2 115200

#define CUSTOM_MACHINE_NAME "Marsh 230"
#define MACHINE_UUID "00000000-0000-0000-0000-000000000230"

// The Lapwing C hangs its two part fans on the third fan output, and the hot-end
// fan stays on the first one. Revision B had the part fan on PB7.
#define LAPWING_REVISION 3

#if LAPWING_REVISION >= 3
  #define FAN_PIN PB6
#else
  #define FAN_PIN PB7
#endif

//=============================================================================
// Motors
//=============================================================================

#define X_DRIVER_TYPE  TMC2209
#define Y_DRIVER_TYPE  TMC2209
#define Z_DRIVER_TYPE  TMC2209
//#define X2_DRIVER_TYPE A4988
//#define Z2_DRIVER_TYPE A4988
#define E0_DRIVER_TYPE TMC2209
//#define E1_DRIVER_TYPE A4988

#define EXTRUDERS 1
#define DEFAULT_NOMINAL_FILAMENT_DIA 1.75

//#define SINGLENOZZLE
//#define SWITCHING_EXTRUDER
#if ENABLED(SWITCHING_EXTRUDER)
  #define SWITCHING_EXTRUDER_SERVO_NR 1
  #define SWITCHING_EXTRUDER_SERVO_ANGLES { 0, 90 }
#endif

//=============================================================================
// Supply
//=============================================================================

//#define PSU_CONTROL
#if ENABLED(PSU_CONTROL)
  #define PSU_ACTIVE_STATE LOW
  #define PS_ON_PIN PB11
  //#define PSU_POWERUP_DELAY 250
#endif

//=============================================================================
// Temperature sensors: numbers of the firmware's tables, 0 for none
//=============================================================================

#define TEMP_SENSOR_0 12
#define TEMP_SENSOR_1 0
#define TEMP_SENSOR_2 0
#define TEMP_SENSOR_3 0
#define TEMP_SENSOR_4 0
#define TEMP_SENSOR_5 0
#define TEMP_SENSOR_6 0
#define TEMP_SENSOR_7 0
#define TEMP_SENSOR_BED 4
#define TEMP_SENSOR_PROBE 0
#define TEMP_SENSOR_CHAMBER 0
#define TEMP_SENSOR_COOLER 0
#define TEMP_SENSOR_BOARD 0
#define TEMP_SENSOR_REDUNDANT 0

#define DUMMY_THERMISTOR_998_VALUE  25
#define DUMMY_THERMISTOR_999_VALUE 100

#if TEMP_SENSOR_IS_MAX_TC(0)
  #define MAX31865_SENSOR_OHMS_0      100
  #define MAX31865_CALIBRATION_OHMS_0 430
#endif

#define TEMP_RESIDENCY_TIME         10
#define TEMP_WINDOW                  1
#define TEMP_HYSTERESIS              3
#define TEMP_BED_RESIDENCY_TIME     10
#define TEMP_BED_WINDOW              1
#define TEMP_BED_HYSTERESIS          3

// Below this a sensor counts as broken
#define HEATER_0_MINTEMP   5
#define HEATER_1_MINTEMP   5
#define HEATER_2_MINTEMP   5
#define BED_MINTEMP        -250
#define CHAMBER_MINTEMP    5

// Above this a heater is switched off for good
#define HEATER_0_MAXTEMP 295    // the liner is good for 260
#define HEATER_1_MAXTEMP 275
#define HEATER_2_MAXTEMP 275
#define BED_MAXTEMP      120
#define BED_MAXTEMP      125
#define CHAMBER_MAXTEMP  60

// Targets end this far below the limits above
#define HOTEND_OVERSHOOT 15
#define BED_OVERSHOOT    10
#define COOLER_OVERSHOOT  2

//=============================================================================
// Control of the heaters
//=============================================================================

#define PIDTEMP
//#define MPCTEMP

#define BANG_MAX 255
#define PID_MAX BANG_MAX
#define PID_K1 0.95

#if ENABLED(PIDTEMP)
  //#define PID_PARAMS_PER_HOTEND
  #if ENABLED(PID_PARAMS_PER_HOTEND)
    #define DEFAULT_Kp_LIST { 21.70, 21.70 }
    #define DEFAULT_Ki_LIST {  1.42,  1.42 }
    #define DEFAULT_Kd_LIST { 82.60, 82.60 }
  #else
    #define DEFAULT_Kp  21.70
    #define DEFAULT_Ki   1.42
    #define DEFAULT_Kd  82.60
  #endif
#endif

#if ENABLED(MPCTEMP)
  #define MPC_MAX 255
  #define MPC_HEATER_POWER { 40.0f }
  #define MPC_BLOCK_HEAT_CAPACITY { 12.0f }
  #define MPC_SENSOR_RESPONSIVENESS { 0.22f }
  #define MPC_AMBIENT_XFER_COEFF { 0.120f }
#endif

//#define PIDTEMPBED
//#define BED_LIMIT_SWITCHING
#define MAX_BED_POWER 255

#if ENABLED(PIDTEMPBED)
  #define DEFAULT_BED_KP 64.10
  #define DEFAULT_BED_KI 11.20
  #define DEFAULT_BED_KD 244.20
#endif

#define PID_FUNCTIONAL_RANGE 10

// Filament is not pushed into a cold hot end
#define PREVENT_COLD_EXTRUSION
#define EXTRUDE_MINTEMP 170
#define PREVENT_LENGTHY_EXTRUDE
#define EXTRUDE_MAXLENGTH 200

#define THERMAL_PROTECTION_HOTENDS
//#define THERMAL_PROTECTION_BED
#define THERMAL_PROTECTION_CHAMBER
//#define THERMAL_PROTECTION_COOLER

//=============================================================================
// Kinematics and end stops
//=============================================================================

//#define COREXY
//#define DELTA

#define USE_XMIN_PLUG
#define USE_YMIN_PLUG
#define USE_ZMIN_PLUG
//#define USE_XMAX_PLUG
//#define USE_YMAX_PLUG
//#define USE_ZMAX_PLUG

// Pull-ups of the chip on every end stop and on the probe
//#define ENDSTOPPULLUPS
#if DISABLED(ENDSTOPPULLUPS)
  #define ENDSTOPPULLUP_XMIN
  #define ENDSTOPPULLUP_YMIN
  //#define ENDSTOPPULLUP_ZMIN
  //#define ENDSTOPPULLUP_ZMIN_PROBE
#endif
//#define ENDSTOPPULLDOWNS

// false: the input reads high when the switch is hit
#define X_MIN_ENDSTOP_INVERTING false
#define Y_MIN_ENDSTOP_INVERTING false
#define Z_MIN_ENDSTOP_INVERTING false
#define X_MAX_ENDSTOP_INVERTING false
#define Y_MAX_ENDSTOP_INVERTING false
#define Z_MAX_ENDSTOP_INVERTING false
#define Z_MIN_PROBE_ENDSTOP_INVERTING true

#define ENDSTOP_INTERRUPTS_FEATURE
//#define ENDSTOP_NOISE_THRESHOLD 2

#define DEFAULT_AXIS_STEPS_PER_UNIT   { 80, 80, 400, 410 }
#define DEFAULT_MAX_FEEDRATE          { 250, 250, 8, 50 }
#define DEFAULT_MAX_ACCELERATION      { 2500, 2500, 100, 5000 }
#define DEFAULT_ACCELERATION          1200
#define DEFAULT_RETRACT_ACCELERATION  1500
#define DEFAULT_TRAVEL_ACCELERATION   1800
//#define CLASSIC_JERK
#if ENABLED(CLASSIC_JERK)
  #define DEFAULT_XJERK 8.0
  #define DEFAULT_YJERK 8.0
  #define DEFAULT_ZJERK 0.3
#endif
#define JUNCTION_DEVIATION_MM 0.014

//=============================================================================
// Probe: deploys its pin by servo, homes Z as well
//=============================================================================

//#define Z_MIN_PROBE_USES_Z_MIN_ENDSTOP_PIN
//#define USE_PROBE_FOR_Z_HOMING

// The stock pin of the board already is the right one:
//#define Z_MIN_PROBE_PIN PB1

//#define PROBE_MANUALLY
//#define FIX_MOUNTED_PROBE
//#define NOZZLE_AS_PROBE
#define BLTOUCH
#define SERVO0_PIN PA2
//#define Z_SERVO_ANGLES { 70, 0 }

#define NOZZLE_TO_PROBE_OFFSET { 38, -9, -1.85 }
#define PROBING_MARGIN 12
#define XY_PROBE_FEEDRATE (120*60)
#define Z_PROBE_FEEDRATE_FAST (5*60)
#define Z_PROBE_FEEDRATE_SLOW (Z_PROBE_FEEDRATE_FAST / 2)
#define MULTIPLE_PROBING 2
#define Z_CLEARANCE_DEPLOY_PROBE   10
#define Z_CLEARANCE_BETWEEN_PROBES  5
#define Z_CLEARANCE_MULTI_PROBE     5
#define Z_PROBE_LOW_POINT          -3
//#define PROBING_HEATERS_OFF
//#define PROBING_FANS_OFF
//#define PROBE_TARE

//=============================================================================
// Directions, homing and size
//=============================================================================

#define X_ENABLE_ON 0
#define Y_ENABLE_ON 0
#define Z_ENABLE_ON 0
#define E_ENABLE_ON 0

#define INVERT_X_DIR true
#define INVERT_Y_DIR true
#define INVERT_Z_DIR false
#define INVERT_E0_DIR true

#define X_HOME_DIR -1
#define Y_HOME_DIR -1
#define Z_HOME_DIR -1

#define X_BED_SIZE 230
#define Y_BED_SIZE 230
#define X_MIN_POS -4
#define Y_MIN_POS -2
#define Z_MIN_POS 0
#define X_MAX_POS X_BED_SIZE
#define Y_MAX_POS Y_BED_SIZE
#define Z_MAX_POS 250

#define MIN_SOFTWARE_ENDSTOPS
#define MAX_SOFTWARE_ENDSTOPS

#define FILAMENT_RUNOUT_SENSOR
#if ENABLED(FILAMENT_RUNOUT_SENSOR)
  #define FIL_RUNOUT_ENABLED_DEFAULT true
  #define NUM_RUNOUT_SENSORS 1
  #define FIL_RUNOUT_STATE HIGH
  #define FIL_RUNOUT_PULLUP
  //#define FIL_RUNOUT_PULLDOWN
  #define FILAMENT_RUNOUT_SCRIPT "M600"
#endif

#define AUTO_BED_LEVELING_BILINEAR
#define RESTORE_LEVELING_AFTER_G28
#if EITHER(AUTO_BED_LEVELING_LINEAR, AUTO_BED_LEVELING_BILINEAR)
  #define GRID_MAX_POINTS_X 5
  #define GRID_MAX_POINTS_Y GRID_MAX_POINTS_X
  #define EXTRAPOLATE_BEYOND_GRID
#endif

#define Z_SAFE_HOMING
#if ENABLED(Z_SAFE_HOMING)
  #define Z_SAFE_HOMING_X_POINT (X_BED_SIZE / 2)
  #define Z_SAFE_HOMING_Y_POINT (Y_BED_SIZE / 2)
#endif
#define HOMING_FEEDRATE_MM_M { (50*60), (50*60), (6*60) }

//=============================================================================
// Everything else
//=============================================================================

#define EEPROM_SETTINGS
#define EEPROM_CHITCHAT
#define HOST_KEEPALIVE_FEATURE
#define DEFAULT_KEEPALIVE_INTERVAL 2

#define PREHEAT_1_LABEL     "PLA"
#define PREHEAT_1_TEMP_HOTEND 205
#define PREHEAT_1_TEMP_BED     60
#define PREHEAT_1_FAN_SPEED     0
#define PREHEAT_2_LABEL     "PETG"
#define PREHEAT_2_TEMP_HOTEND 235
#define PREHEAT_2_TEMP_BED     80
#define PREHEAT_2_FAN_SPEED     0

#define NOZZLE_PARK_FEATURE
#if ENABLED(NOZZLE_PARK_FEATURE)
  #define NOZZLE_PARK_POINT { (X_MIN_POS + 10), (Y_MAX_POS - 10), 20 }
#endif

#define PRINTJOB_TIMER_AUTOSTART
#define SDSUPPORT
#define LCD_LANGUAGE en
//#define REPRAP_DISCOUNT_FULL_GRAPHIC_SMART_CONTROLLER

// PWM of the part fans by software: leave it off, the timer of the pin does it
//#define FAN_SOFT_PWM
#define SOFT_PWM_SCALE 0
//#define SOFT_PWM_DITHER

#define NUM_SERVOS 1
#define SERVO_DELAY { 300 }
#define DEACTIVATE_SERVOS_AFTER_MOVE
